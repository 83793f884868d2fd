"""Makes the two TrueType files of this folder from the Latin web fonts of the family (regular and semibold).

Figures are set to their tabular forms, so that columns of figures stand below each other in every program, also in
those that don't know OpenType features. Needs fonttools and brotli.

    python make.py REGULAR.woff2 SEMIBOLD.woff2
"""
import sys
from pathlib import Path
from fontTools.ttLib import TTFont

for source, target in zip(sys.argv[1:], ("regular.ttf", "semibold.ttf")):
    font = TTFont(source)
    font.flavor = None
    gsub = font["GSUB"].table
    lookups = [
        index
        for record in gsub.FeatureList.FeatureRecord
        if record.FeatureTag == "tnum"
        for index in record.Feature.LookupListIndex
    ]
    swap = {}
    for index in sorted(set(lookups)):
        for table in gsub.LookupList.Lookup[index].SubTable:
            table = getattr(table, "ExtSubTable", table)
            swap.update(getattr(table, "mapping", {}))
    for cmap in font["cmap"].tables:
        for code, glyph in list(cmap.cmap.items()):
            if chr(code).isdigit() and glyph in swap:
                cmap.cmap[code] = swap[glyph]
    font.save(Path(__file__).parent / target)
