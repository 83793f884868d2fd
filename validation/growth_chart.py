"""The table and the chart of docs/decisions/011-mistakes-growth.md.

    cargo bench --quiet -p proof --bench mistakes -- --json | python3 validation/growth_chart.py docs/decisions/011-growth.svg

Writes the chart, prints the table. Needs nothing but Python.
"""
import json
import math
import sys

PAPER, INK, SECOND, HAIR, SEA = "#fbfaf6", "#1a1e21", "#5a636a", "#b9b8b0", "#8fbcc6"
WIDTH, HEIGHT, TOP, BOTTOM = 1000, 470, 96, 400
VALVES = [8, 12, 16, 20, 24]
STYLE = {"chain": (INK, 2.4, ""), "header": (INK, 1.3, ""), "shared header": (SECOND, 1.3, "5 3")}
PANELS = [
    ("time of the map", "map_ms", 70, {0: "1 ms", 1: "10 ms", 2: "100 ms", 3: "1 s", 4: "10 s"}),
    ("patterns solved", "patterns", 570, {2: "100", 3: "1 000", 4: "10 000", 5: "100 000"}),
]
PANEL_WIDTH = 280


def text(x, y, words, size=14, colour=INK, anchor="start", weight=400):
    return f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size}" fill="{colour}" text-anchor="{anchor}" font-weight="{weight}">{words}</text>'


def line(x1, y1, x2, y2, colour=HAIR, width=0.7, dash=""):
    return f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" stroke="{colour}" stroke-width="{width}"' + (f' stroke-dasharray="{dash}"/>' if dash else "/>")


def panel(rows, title, key, left, ticks):
    least, most = min(ticks), max(ticks)
    x = lambda valves: left + PANEL_WIDTH * (valves - 8) / 16
    y = lambda value: BOTTOM - (BOTTOM - TOP) * (math.log10(value) - least) / (most - least)
    out = [text(left, 52, title, 18, weight=650)]
    for tick, words in ticks.items():
        out += [line(left, y(10**tick), left + PANEL_WIDTH, y(10**tick)), text(left - 8, y(10**tick) + 5, words, 13, SECOND, "end")]
    for valves in VALVES:
        out += [line(x(valves), BOTTOM, x(valves), BOTTOM + 5, INK, 0.7), text(x(valves), BOTTOM + 22, valves, 13, SECOND, "middle")]
    out.append(text(left + PANEL_WIDTH / 2, BOTTOM + 44, "valves, with one pump", 13, SECOND, "middle"))
    # Up to 17 valves and a pump every position is looked at.
    out += [line(x(17.5), TOP - 14, x(17.5), BOTTOM, SECOND, 0.7, "2 3")]
    out += [text(x(17.5) - 8, TOP - 6, "every position", 12, SECOND, "end"), text(x(17.5) + 8, TOP - 6, "ways and near tasks", 12, SECOND)]
    labels = []
    for shape, (colour, width, dash) in STYLE.items():
        own = {row["valves"]: row[key] for row in rows if row["shape"] == shape}
        for run in ([8, 12, 16], [20, 24]):
            points = " ".join(f"{x(valves):.1f},{y(own[valves]):.1f}" for valves in run)
            out.append(f'<polyline points="{points}" fill="none" stroke="{colour}" stroke-width="{width}"' + (f' stroke-dasharray="{dash}"/>' if dash else "/>"))
            out += [f'<circle cx="{x(valves):.1f}" cy="{y(own[valves]):.1f}" r="2.6" fill="{colour}"/>' for valves in run]
        labels.append([y(own[24]) + 4.5, shape, colour])
    # Labels keep their distance.
    labels.sort(key=lambda label: label[0])
    for above, below in zip(labels, labels[1:]):
        below[0] = max(below[0], above[0] + 17)
    shift = (labels[-1][0] - max(y(row[key]) + 4.5 for row in rows if row["valves"] == 24)) / 2
    out += [text(x(24) + 10, at - shift, shape, 14, colour) for at, shape, colour in labels]
    return out


def chart(rows):
    out = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" font-family="\'Atkinson Hyperlegible Next\', \'Atkinson Hyperlegible\', sans-serif" style="font-variant-numeric: tabular-nums">',
        "<title>Time of the map of positions, and patterns solved for it, by the valves of a station</title>",
        f'<rect width="{WIDTH}" height="{HEIGHT}" fill="{PAPER}"/>',
    ]
    for title, key, left, ticks in PANELS:
        out += panel(rows, title, key, left, ticks)
    return "\n".join([*out, "</svg>"]) + "\n"


def thousands(number):
    return f"{number:,.0f}".replace(",", " ")


def figure(number):
    """Two figures, and no more."""
    return thousands(round(number, -2)) if number >= 1000 else f"{number:.0f}" if number >= 10 else f"{number:.1f}"


def table(rows):
    print("| shape | valves | positions | in situations | patterns solved | map, ms | a state, µs | every position |")
    print("| --- | ---: | ---: | ---: | ---: | ---: | ---: | --- |")
    for row in rows:
        state = f"{row['state_us']:.2f}" if row["valves"] < VALVES[-1] else "–"
        print(
            f"| {row['shape']} | {row['valves']} | {thousands(row['positions'])} | {row['situations']} | {thousands(row['patterns'])} "
            f"| {figure(row['map_ms'])} | {state} | {'yes' if row['exhaustive'] else 'no'} |"
        )


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    measured = json.load(sys.stdin)
    with open(sys.argv[1], "w") as file:
        file.write(chart(measured))
    table(measured)
