"""How fast the workbench follows a hand, in a real browser: measure.py BRINEWRIGHT [STATION...].

200 moves of a mark, each from the key to the drawing, the verdict and the figures drawn anew (two frames later, so that
what the browser paints is in it); 60 more that begin a quarter of a second behind a change, while the long weekend and the
years are looked at; then 20 changes that are kept, each until it is proved with its cures, and until all that
was marked as old is fresh: the long weekend and the years as well; then 20 values typed in a form, each until it is saved,
and the page of all forms itself. Prints the middle and the 95th percentile, in ms, of each example. A release build on a
quiet machine; budgets: 50 ms, and 1 s until all is fresh; for the forms none.
"""
import statistics
import sys
import time
from pathlib import Path

from playwright.sync_api import sync_playwright

from common import Bench, started, until

PROGRAM = Path(sys.argv[1]).resolve()
NAMES = sys.argv[2:] or ["larkhaven", "juniper-street-school", "skelder-hatchery"]

MOVE = """([key, mark]) => new Promise((done) => {
  const grip = document.querySelector(`.grip[data-handle$=".${mark}"]`);
  const paper = document.querySelector('#paper');
  const begun = performance.now();
  new MutationObserver((_, watch) => {
    watch.disconnect();
    requestAnimationFrame(() => requestAnimationFrame(() => done(performance.now() - begun)));
  }).observe(paper, { childList: true });
  grip.dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true, cancelable: true }));
})"""
KEEP = """([mark]) => new Promise((done) => {
  const grip = document.querySelector(`.grip[data-handle$=".${mark}"]`);
  const drawing = document.querySelector('#drawing');
  const is = (id) => !document.querySelector(id).classList.contains('old');
  const before = drawing.dataset.revision;
  const begun = performance.now();
  let proved = 0;
  function look() {
    if (drawing.dataset.revision !== before && document.querySelector('#state').textContent === 'saved') {
      proved ||= performance.now() - begun;
      if (['#verdict', '#away', '#year', '#findings'].every(is)) return done([proved, performance.now() - begun]);
    }
    requestAnimationFrame(look);
  }
  grip.dispatchEvent(new KeyboardEvent('keydown', { key: 'Enter', bubbles: true, cancelable: true }));
  look();
})"""
ENTER = """([mark]) => {
  const grip = document.querySelector(`.grip[data-handle$=".${mark}"]`);
  grip.dispatchEvent(new KeyboardEvent('keydown', { key: 'Enter', bubbles: true, cancelable: true }));
}"""
FRESH = "['#verdict', '#away', '#year'].every((id) => !document.querySelector(id).classList.contains('old'))"
TYPE = """([value]) => new Promise((done) => {
  const field = document.querySelector('[data-path="reserve.salt"]');
  const told = document.querySelector('#told');
  told.textContent = '';
  const begun = performance.now();
  new MutationObserver((_, watch) => {
    if (told.textContent !== 'saved') return;
    watch.disconnect();
    done(performance.now() - begun);
  }).observe(told, { childList: true });
  field.value = value;
  field.dispatchEvent(new Event('change', { bubbles: true }));
})"""


def told(what, times):
    times.sort()
    print(f"{what}: {statistics.median(times):.0f} ms, 95 in 100 under {times[int(0.95 * len(times)) - 1]:.0f} ms")


def measured(tools, name):
    mark = "stop_level"
    with Bench(PROGRAM, name) as bench:
        browser = started(tools)
        page = browser.new_page(viewport={"width": 1440, "height": 1000})
        page.goto(bench.address)
        until(page, "document.querySelector('#state').textContent === 'saved'")
        until(page, FRESH)
        page.wait_for_timeout(1000)
        told(f"{name}, a move to its drawing", [
            page.evaluate(MOVE, ["ArrowDown" if at % 40 < 20 else "ArrowUp", mark]) for at in range(200)
        ])
        page.keyboard.press("Escape")
        behind = []
        for turn in range(3):
            page.evaluate(MOVE, ["ArrowDown" if turn % 2 == 0 else "ArrowUp", mark])
            page.evaluate(ENTER, [mark])
            page.wait_for_timeout(250)
            behind += [page.evaluate(MOVE, ["ArrowDown" if at % 20 < 10 else "ArrowUp", mark]) for at in range(20)]
            page.keyboard.press("Escape")
            page.wait_for_timeout(2000)
        told(f"{name}, a move behind a change", behind)
        kept = []
        for at in range(20):
            page.evaluate(MOVE, ["ArrowDown" if at % 2 == 0 else "ArrowUp", mark])
            kept.append(page.evaluate(KEEP, [mark]))
            page.wait_for_timeout(300)
        told(f"{name}, a change until it is proved", [proved for proved, _ in kept])
        told(f"{name}, a change until all is fresh", [fresh for _, fresh in kept])
        page.goto(bench.address + "edit")
        typed = []
        for at in range(20):
            typed.append(page.evaluate(TYPE, ["31 gal" if at % 2 == 0 else "32 gal"]))
            page.wait_for_timeout(300)
        told(f"{name}, a value typed in a form until it is saved", typed)
        answers = []
        for _ in range(20):
            begun = time.perf_counter()
            page.request.get(bench.address + "edit")
            answers.append(1000 * (time.perf_counter() - begun))
        told(f"{name}, the page of all forms", answers)
        browser.close()


with sync_playwright() as playing:
    for station in NAMES:
        measured(playing, station)
