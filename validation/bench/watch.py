"""Try it watched for longer, in a real browser: a fault waited for until Saturday night, the way that water goes, with and
without motion, and the browser's memory over some hundred moments.

    python watch.py BRINEWRIGHT FOLDER

Pictures stay in FOLDER, to be looked at. Ends with an error at the first thing that isn't so.
"""
import re
import statistics
import sys
from pathlib import Path

from playwright.sync_api import sync_playwright

from common import Bench, holds, pictured, quiet, started, still, until, watched

PROGRAM, FOLDER = (Path(own).resolve() for own in sys.argv[1:3])


def opened(browser, bench, **how):
    page = watched(browser, bench, **how)
    page.goto(bench.address + "try-it")
    until(page, "document.querySelector('[data-press]') && document.querySelector('#balance-says').textContent !== ''")
    return page


def text(page, what):
    """What is said there; blanks at which no line ends are blanks."""
    return page.evaluate("(what) => document.querySelector(what)?.textContent ?? ''", what).replace("\xa0", " ")


def begun(page, how):
    """Anew, with time standing still."""
    page.check('input[name="speed"][value="0"]')
    with page.expect_response("**/api/live/again"):
        page.click(f'[data-again="{how}"]')
    until(page, "document.querySelector('#since').textContent.startsWith('0:00:00 ')"
          " && document.querySelector('#record').textContent.startsWith('0 acts')")


def until_saturday_night(page, other):
    """A fitting begins to weep on Friday while the vessel fills; nobody is there until Saturday night."""
    begun(page, "filling")
    holds(text(page, "#time") == "Friday 16:30:00", text(page, "#time"))
    page.select_option("#break select", value="a push-in fitting of the purifier weeping")
    page.click("#break button")
    until(page, "document.querySelectorAll('#faults li').length === 1")
    holds(page.locator("#harm-now").is_hidden(), "what weeps does no harm at first")
    for hour in range(17, 17 + 29):
        page.click('[data-skip="3600"]')
        at = f"{'Friday' if hour < 24 else 'Saturday'} {hour % 24}:30:00"
        until(page, "(at) => document.querySelector('#time').textContent === at", arg=at)
    # The last of it at the pace of Try it: it fills until its mark, and what weeps stops with the feed.
    page.check('input[name="speed"][value="600"]')
    until(page, "/^Saturday 2[23]:/.test(document.querySelector('#time').textContent)")
    page.check('input[name="speed"][value="0"]')
    holds(text(page, "#purifier").startswith("rests"), text(page, "#purifier"))
    page.wait_for_timeout(300)
    # By hand: 0.25 L/h are a litre by 20:30, and 7.3 L by 21:42, when 880 mm are full.
    harm = text(page, "#harms li")
    said = re.fullmatch(r"Since Fri 20:30:00: ([\d.]+) L on the floor at the purifier", harm)
    holds(said and 7.2 < float(said[1]) < 7.4, f"the harm, its place and since when: {harm}")
    holds(page.locator("#harms li").count() == 1, "nothing else was harmed")
    for own in (page, other):
        until(own, "!document.querySelector('#harm-now').hidden")
        holds(text(own, "#harm-says") == harm, f"wherever one is on the page: {text(own, '#harm-says')}")
    holds("on the floor at the purifier" in text(page, "#told"), f"it was heard: {text(page, '#told')}")
    pictured(other, path=FOLDER / "saturday-night-phone.png", full_page=True)
    # Mended, no more comes of it in the next hours, and what was done stands in the record.
    page.click("#faults button")
    until(page, "document.querySelectorAll('#faults li').length === 0")
    page.click('[data-skip="3600"]')
    until(page, "/^Skipped to (Saturday 23|Sunday 0):/.test(document.querySelector('#skipped').textContent)")
    holds("no harm" in text(page, "#skipped") and text(page, "#harms li") == harm, text(page, "#skipped"))
    holds(text(page, "#record").startswith("2 acts"), text(page, "#record"))


# The figure of a flow, and the way to the bucket below its tap from the line's other end, as it is drawn.
WAY = """([path, bucket]) => {
  const line = document.querySelector(`polyline.runs[data-path="${path}"]`);
  const wall = document.querySelector(`polyline[data-path="${bucket}"]`).getBBox();
  const ends = [line.points[0], line.points[line.points.length - 1]];
  const far = ({ x, y }) => Math.hypot(x - (wall.x + wall.width / 2), y - wall.y);
  const [to, from] = far(ends[0]) < far(ends[1]) ? ends : ends.reverse();
  return [document.querySelector(`[data-flow="${path}"]`).textContent, to.x - from.x, to.y - from.y];
}"""
ARROWS = {"→": (1, 0), "←": (-1, 0), "↓": (0, 1), "↑": (0, -1)}


def the_way(pages):
    """Which way water goes is told without motion: by an arrow from the vessel to the bucket, to whoever wants motion or none."""
    page = pages[0]
    begun(page, "full")
    for valve, tap in [("fresh-spout", "fresh-tap"), ("salt-outlet", ""), ("salt-spout", "salt-tap")]:
        page.locator(f'[data-press="valves.{valve}"]').focus()
        page.keyboard.press("Enter")
        until(page, "(valve) => !document.querySelector('#word').hidden || "
              "document.querySelector(`[data-switch='valves.${valve}']`).getAttribute('aria-checked') === 'true'", arg=valve)
        if page.locator("#word").is_visible():
            page.click("#anyway")
        for own in pages if tap else []:
            until(own, f"document.querySelector('[data-flow=\"lines.{valve}\"]') !== null")
            said, across, down = own.evaluate(WAY, [f"lines.{valve}", f"draw_points.{tap}"])
            way = ARROWS.get(said[0])
            holds(way and way[0] * across + way[1] * down > 0, f"{said}: it runs {across:.1f} across and {down:.1f} down")
    still(pages[1], "Try it while water runs, for whoever wants no motion")


# How often the page was told, from its beginning.
HEARD = """
  window.heard = 0;
  const Own = window.EventSource;
  window.EventSource = class extends Own {
    constructor(...how) { super(...how); this.addEventListener('now', () => { window.heard += 1; }); }
  };
"""
# So many more moments; asked for once, since each question of the check leaves something behind in the browser itself.
MORE = """(more) => new Promise((go) => {
  const end = window.heard + more;
  const look = () => (window.heard >= end ? go() : setTimeout(look, 100));
  look();
})"""
# Of the heap, for each moment that is told: a moment is some thousands of bytes of text, and what shows it is made of nodes of
# hundreds, so that whatever is left behind by each, a closure with what it holds or a node, is about that and more; measured
# are 5 to 30. Nothing is compiled or thrown away meanwhile (see main), and time stands still while it is counted. What the
# engine still takes for itself at once is in one stretch or two of five; so it is the middle one that is judged.
BYTES, STRETCHES, MOMENTS = 100, 5, 50
# Lists come and go with what is told; a node that each moment leaves behind would be as many as there are moments.
NODES = 60


def held(page, devtools):
    """What the page holds while time stands still and all that can be let go of was: bytes of the heap, nodes, listeners."""
    page.check('input[name="speed"][value="0"]')
    page.wait_for_timeout(400)
    for _ in range(3):
        devtools.send("HeapProfiler.collectGarbage")
    all_of_it = {own["name"]: own["value"] for own in devtools.send("Performance.getMetrics")["metrics"]}
    page.check('input[name="speed"][value="60"]')
    return [all_of_it[name] for name in ("JSHeapUsedSize", "Nodes", "JSEventListeners")]


def no_more_is_held(browser, bench):
    """After some hundred moments of a tap that nobody shuts (water, figures, words, harm change with each) the page holds no
    more than before."""
    page = watched(browser, bench, viewport={"width": 1440, "height": 1000})
    page.add_init_script(HEARD)
    page.goto(bench.address + "try-it")
    until(page, "document.querySelector('[data-press]') && document.querySelector('#balance-says').textContent !== ''")
    devtools = page.context.new_cdp_session(page)
    devtools.send("Performance.enable")
    begun(page, "filling")
    page.locator('[data-press="valves.fresh-spout"]').focus()
    page.keyboard.press("Enter")
    until(page, "!document.querySelector('#word').hidden")
    page.click("#anyway")
    page.check('input[name="speed"][value="60"]')
    until(page, "document.querySelectorAll('#harms li').length === 1")
    page.evaluate(MORE, 30)
    told, holding = [page.evaluate("window.heard")], [held(page, devtools)]
    for _ in range(STRETCHES):
        page.evaluate(MORE, MOMENTS)
        told.append(page.evaluate("window.heard"))
        holding.append(held(page, devtools))
    more = [(b[0] - a[0]) / (y - x) for a, b, x, y in zip(holding, holding[1:], told, told[1:])]
    nodes, listeners = (holding[-1][at] - holding[0][at] for at in (1, 2))
    print(f"bytes for each moment: {' '.join(f'{own:+.0f}' for own in more)}; {nodes:+.0f} nodes, {listeners:+.0f} listeners")
    told = told[-1] - told[0]
    holds(statistics.median(more) < BYTES, f"{statistics.median(more):.0f} bytes are left behind by each moment")
    holds(nodes < NODES and listeners < NODES, f"{nodes} nodes and {listeners} listeners are left behind by {told} moments")
    quiet(page, "Try it for long")
    page.close()


def main():
    FOLDER.mkdir(parents=True, exist_ok=True)
    with sync_playwright() as tools, Bench(PROGRAM, "larkhaven") as bench:
        browser = started(tools)
        page = opened(browser, bench, viewport={"width": 1440, "height": 1000})
        other = opened(browser, bench, viewport={"width": 360, "height": 780}, reduced_motion="reduce")
        until_saturday_night(page, other)
        the_way([page, other])
        for own in (page, other):
            quiet(own, "Try it watched")
            own.close()
        browser.close()
        # Code that the engine compiles and forgets is as large as a small leak.
        browser = started(tools, flags=["--js-flags=--jitless --no-flush-bytecode"])
        no_more_is_held(browser, bench)
        browser.close()
    print("try it watched: all as it should be")


if __name__ == "__main__":
    main()
