"""How fast the workbench follows a hand, in a real browser: measure.py BRINEWRIGHT [STATION].

200 moves of a mark, each from the key to the drawing, the verdict and the figures drawn anew (two frames later, so that
what the browser paints is in it); then 20 changes that are kept, each until the whole check is fresh. Prints the middle and
the 95th percentile, in ms. A release build on a quiet machine; budgets: 50 ms and 1 s.
"""
import shutil
import signal
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright

PROGRAM = Path(sys.argv[1]).resolve()
NAME = sys.argv[2] if len(sys.argv) > 2 else "larkhaven"
STATIONS = Path(__file__).resolve().parents[2] / "stations"
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--disable-background-networking"]

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


with tempfile.TemporaryDirectory() as folder, sync_playwright() as tools:
    file = Path(folder) / "station.toml"
    shutil.copy(STATIONS / f"{NAME}.toml", file)
    bench = subprocess.Popen([PROGRAM, "open", file, "--port", "0", "--no-browser"], stdout=subprocess.PIPE, text=True)
    address = bench.stdout.readline().strip()
    browser = tools.chromium.launch(executable_path=shutil.which("chromium"), args=FLAGS)
    page = browser.new_page(viewport={"width": 1440, "height": 1000})
    page.goto(address)
    saved = "document.querySelector('#state').textContent === 'saved'"
    while not page.evaluate(saved):
        page.wait_for_timeout(50)
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
    bench.send_signal(signal.SIGINT)
    bench.wait(10)
