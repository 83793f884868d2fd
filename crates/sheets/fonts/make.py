"""Makes the two TrueType files of this folder from the web fonts of the family: for each weight its Latin subset and
its extended Latin one, in one file.

Figures are set to their tabular forms, so that columns of figures stand below each other in every program, also in
those that don't know OpenType features. Needs fonttools and brotli.

    python make.py REGULAR.woff2 REGULAR-EXT.woff2 SEMIBOLD.woff2 SEMIBOLD-EXT.woff2
"""
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from fontTools.merge import Merger
from fontTools.ttLib import TTFont


def tabular(font):
    """Figures of one width, from the feature for it."""
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


def main(latin, extended, target):
    with TemporaryDirectory() as folder:
        files = []
        for source in (latin, extended):
            font = TTFont(source)
            font.flavor = None
            if source == latin:
                tabular(font)
            # Nothing here is shaped: what isn't in the map of characters isn't drawn.
            for table in ("GSUB", "GPOS", "GDEF"):
                if table in font:
                    del font[table]
            files.append(str(Path(folder) / Path(source).name) + ".ttf")
            font.save(files[-1])
        merged = Merger().merge(files)
        merged.save(Path(__file__).parent / target)


main(*sys.argv[1:3], "regular.ttf")
main(*sys.argv[3:5], "semibold.ttf")
