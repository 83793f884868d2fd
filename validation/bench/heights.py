"""The pipes by their heights, on the workbench: everything that the file has is there, at its height; it follows a floor that
is moved; a part leads to its values; on a phone, which has no room for it, there is none."""
import re
import tomllib

from common import grip, holds, kept, leads_to_its_values, opened, pictured, until

# Heights on the paper, over the floor below everything: of a body its lowest and highest point, of each tee its dot.
MEASURED = """([body, tees]) => {
  const svg = document.querySelector('#profile svg');
  const largest = (path) => [...svg.querySelectorAll(`polyline[data-path="${path}"]`)].map((own) => own.getBBox())
    .reduce((a, b) => (a.width + a.height > b.width + b.height ? a : b));
  const box = largest(body);
  const floor = largest('room').y;
  const dot = (own) => Number(svg.querySelector(`circle[data-path="tees.${own}"]`).getAttribute('cy'));
  return [floor - box.y - box.height, floor - box.y, ...tees.map((own) => floor - dot(own))];
}"""


def mm(said):
    number, unit = re.match(r"([\d.]+) (mm|m)", said).groups()
    return float(number) * {"mm": 1, "m": 1000}[unit]


def heights(browser, page, bench, folder):
    """Of Larkhaven, on the page that is open, and on a phone."""
    file = tomllib.loads(bench.text())
    until(page, "document.querySelector('#profile svg') !== null && !document.querySelector('#heights').hidden")
    for section in ("valves", "pumps", "draw_points", "tees", "lines", "vessels"):
        for name in file[section]:
            there = page.locator(f'#profile [data-path="{section}.{name}"]').count()
            holds(there > 0, f"{section}.{name} is on the drawing of the pipes")
    # To scale, against the file: the body's own height tells how large a metre is.
    tees = list(file["tees"])
    foot, rim, *dots = page.evaluate(MEASURED, ["vessels.fresh", tees])
    fresh = file["vessels"]["fresh"]
    large = (rim - foot) / mm(fresh["height"])
    for what, drawn, wanted in [("floor of fresh", foot, mm(fresh["floor_height"])),
                                *((own, dot, mm(file["tees"][own]["height"])) for own, dot in zip(tees, dots))]:
        holds(abs(drawn / large - wanted) < 4, f"{what}: {drawn / large:.1f} mm for {wanted}")
    page.locator("#profile").scroll_into_view_if_needed()
    pictured(page, path=folder / "heights.png")
    # It follows what is kept, and what is taken back.
    grip(page, "vessels.fresh.floor_height").focus()
    for _ in range(5):
        page.keyboard.press("ArrowUp")
    kept(page, lambda: page.keyboard.press("Enter"))
    moved = f"([own, was]) => Math.abs(({MEASURED})(own)[0] - was) > 0.2"
    until(page, moved, arg=[["vessels.fresh", tees], foot])
    kept(page, lambda: page.click("#undo"))
    until(page, f"([own, was]) => Math.abs(({MEASURED})(own)[0] - was) < 0.01", arg=[["vessels.fresh", tees], foot])
    leads_to_its_values(page, page.locator('#profile text[data-path^="valves."]').first)
    phone = opened(browser, bench, viewport={"width": 360, "height": 780})
    phone.locator("#pipework").scroll_into_view_if_needed()
    until(phone, "document.querySelector('#pipes svg') !== null")
    holds(phone.locator("#heights").is_hidden(), "a phone has the schematic alone")
    phone.close()
