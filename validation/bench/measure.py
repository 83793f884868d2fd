"""How fast the workbench follows a hand, in a real browser: measure.py BRINEWRIGHT [STATION].

200 moves of a mark, each from the key to the drawing, the verdict and the figures drawn anew (two frames later, so that
what the browser paints is in it); then 20 changes that are kept, each until the whole check is fresh. Prints the middle and
the 95th percentile, in ms. A release build on a quiet machine; budgets: 50 ms and 1 s.
"""
import statistics
import sys
from pathlib import Path

from playwright.sync_api import sync_playwright

from common import Bench, started, until

PROGRAM = Path(sys.argv[1]).resolve()
NAME = sys.argv[2] if len(sys.argv) > 2 else "larkhaven"

MOVE = """([key]) => new Promise((done) => {
  const grip = document.querySelector('.grip[data-handle$=".stop_level"]');
  const paper = document.querySelector('#paper');
  const begun = performance.now();
  new MutationObserver((_, watch) => {
    watch.disconnect();
    requestAnimationFrame(() => requestAnimationFrame(() => done(performance.now() - begun)));
  }).observe(paper, { childList: true });
  grip.dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true, cancelable: true }));
})"""
KEEP = """() => new Promise((done) => {
  const grip = document.querySelector('.grip[data-handle$=".stop_level"]');
  const state = document.querySelector('#state');
  const begun = performance.now();
  new MutationObserver((_, watch) => {
    if (state.textContent !== 'saved') return;
    watch.disconnect();
    done(performance.now() - begun);
  }).observe(state, { childList: true, characterData: true, subtree: true });
  grip.dispatchEvent(new KeyboardEvent('keydown', { key: 'Enter', bubbles: true, cancelable: true }));
})"""


def told(what, times):
    times.sort()
    print(f"{what}: {statistics.median(times):.0f} ms, 95 in 100 under {times[int(0.95 * len(times)) - 1]:.0f} ms")


with Bench(PROGRAM, NAME) as bench, sync_playwright() as tools:
    browser = started(tools)
    page = browser.new_page(viewport={"width": 1440, "height": 1000})
    page.goto(bench.address)
    until(page, "document.querySelector('#state').textContent === 'saved'")
    page.wait_for_timeout(3000)
    told(f"{NAME}, a move to its drawing", [
        page.evaluate(MOVE, ["ArrowDown" if at % 40 < 20 else "ArrowUp"]) for at in range(200)
    ])
    page.keyboard.press("Escape")
    kept = []
    for at in range(20):
        page.evaluate(MOVE, ["ArrowDown" if at % 2 == 0 else "ArrowUp"])
        kept.append(page.evaluate(KEEP))
        page.wait_for_timeout(1500)
    told(f"{NAME}, a change to the whole check", kept)
    browser.close()
