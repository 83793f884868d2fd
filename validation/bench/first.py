"""From the first start to the first drag, in a real browser: `brinewright` and nothing else in an empty folder, which starts a
browser with the demo; the same once the demo is kept in a file; and from the demo's own link through the questions to a
station of one's own. Each drag leaves one value other than it was, and nothing else.

    python first.py BRINEWRIGHT FOLDER

Pictures stay in FOLDER, to be looked at. Ends with an error at the first thing that isn't so.
"""
import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright

from common import Bench, apart, differing, grip, holds, pictured, quiet, ready, started, until, watched

PROGRAM, FOLDER = (Path(own).resolve() for own in sys.argv[1:3])
DESK = {"viewport": {"width": 1440, "height": 1000}}


class Alone(Bench):
    """`brinewright` without a word more, in an empty folder. What it starts as the browser keeps the address, and no more."""

    def __init__(self):
        self.folder = tempfile.TemporaryDirectory()
        self.file = Path(self.folder.name) / "station.toml"
        self.desktop = tempfile.TemporaryDirectory()
        self.asked = Path(self.desktop.name) / "asked"
        browser = Path(self.desktop.name) / "xdg-open"
        browser.write_text(f'#!/bin/sh\necho "$1" >>"{self.asked}"\n')
        browser.chmod(0o755)
        self.start()

    def start(self):
        self.begin([PROGRAM], env={**os.environ, "PATH": os.pathsep.join([self.desktop.name, os.environ["PATH"]])})

    def again(self):
        """Stopped, and started again in the same folder."""
        holds(self.end() == 0, "it stops cleanly")
        self.start()

    def __exit__(self, *how):
        super().__exit__(*how)
        self.desktop.cleanup()


def arrived(page, bench):
    """Where the browser was sent: the address that was printed."""
    end = 400
    while not (bench.asked.exists() and bench.asked.read_text().endswith("\n")):
        end -= 1
        holds(end > 0, "a browser is started")
        page.wait_for_timeout(25)
    asked = bench.asked.read_text().split()
    bench.asked.unlink()
    holds(asked == [bench.address], f"once, with the address that was printed: {asked}")
    page.goto(asked[0])
    until(page, "document.querySelector('.grip') !== null && document.querySelector('#drawing').dataset.revision !== undefined")


def by_pointer(page, path):
    box = grip(page, path).locator(".hit").last.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x, y + 24, steps=6)
    until(page, "document.querySelector('#state').textContent === 'trying'")
    page.mouse.up()


def by_keyboard(page, path):
    """No pointer: with Tab to the mark, with arrows to its place, with Enter it is put down."""
    page.evaluate("document.activeElement?.blur()")
    # From wherever the hand was: once around the page, findings and all.
    for _ in range(200):
        page.keyboard.press("Tab")
        if page.evaluate("(path) => document.activeElement?.dataset.handle === path", path):
            break
    holds(page.evaluate("document.activeElement?.dataset.handle") == path, f"Tab comes to {path}")
    for _ in range(3):
        page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")


def said(page, bench, is_kept):
    """The text: of the file, or of the demo as the workbench has it, which nobody keeps."""
    return bench.text() if is_kept else page.request.get(bench.address + "api/text").json()["text"]


def dragged(page, bench, path, how, is_kept=True):
    """A mark dragged: its value alone differs, and in its line the number alone."""
    # A sentence that comes may still move what is drawn by a line.
    until(page, "!document.querySelector('#verdict').classList.contains('old')")
    before = said(page, bench, is_kept)
    how(page, path)
    until(page, "(end) => document.querySelector('#told').textContent.endsWith(end)", arg="; saved" if is_kept else "; done")
    after = said(page, bench, is_kept)
    holds(set(apart(before, after)) == {path}, f"one value differs: {apart(before, after)}")
    lines = differing(before, after)
    old, new = (re.sub(r'= "[\d./ -]+', "", own) for own in lines[0])
    holds(len(lines) == 1 and old == new, f"its unit, its doubt and its remark stay: {lines}")
    page.evaluate("document.querySelector('#told').textContent = ''")


DRAGS = [("vessels.fresh.stop_level", by_pointer), ("vessels.fresh.start_level", by_keyboard)]


def from_the_demo(browser):
    """Alone in an empty folder it is the demo, which can be dragged at once and isn't kept; in a file it is."""
    with Alone() as bench:
        page = watched(browser, bench, **DESK)
        arrived(page, bench)
        holds("nothing that you do here is kept" in page.inner_text(".note"), "it says that it is a demo")
        for path, how in DRAGS:
            dragged(page, bench, path, how, is_kept=False)
        pictured(page, path=FOLDER / "first-demo.png")
        holds(list(Path(bench.folder.name).iterdir()) == [], "nothing is written anywhere")
        quiet(page, "the demo")
        page.goto("about:blank")
        made = subprocess.run([PROGRAM, "new", "--from", "larkhaven", bench.file], capture_output=True, text=True, check=False)
        holds(made.returncode == 0, made.stderr)
        bench.again()
        page = watched(browser, bench, **DESK)
        arrived(page, bench)
        ready(page)
        holds(page.inner_text("#file") == "station.toml" and page.locator(".note").count() == 0, "now it is a file")
        for path, how in DRAGS:
            dragged(page, bench, path, how)
        quiet(page, "the demo in a file")
        page.close()


def from_questions(browser):
    """Alone in an empty folder, by the demo's link to the questions; answered, written, and dragged by keyboard."""
    with Alone() as bench:
        page = watched(browser, bench, **DESK)
        arrived(page, bench)
        page.click("text=Begin your own station")
        until(page, "document.querySelector('#plan')")
        page.fill('[id="tanks.0.name"]', "Lagoon")
        page.fill('[id="tanks.0.volume"]', "600 L")
        page.click("#plan")
        until(page, "!document.querySelector('#result').hidden && !document.querySelector('.stale')")
        page.click("#write button")
        page.wait_for_url(bench.address)
        until(page, "document.querySelector('.grip') !== null")
        ready(page)
        own = bench.text()
        holds("[tanks.lagoon]" in own and "volume = \"600 L " in own, f"as it was answered: {own}")
        path = page.locator('.grip[data-handle$=".stop_level"]').first.get_attribute("data-handle")
        dragged(page, bench, path, by_keyboard)
        pictured(page, path=FOLDER / "first-own.png")
        quiet(page, "a station of one's own")
        page.close()


def main():
    FOLDER.mkdir(parents=True, exist_ok=True)
    with sync_playwright() as tools:
        browser = started(tools)
        from_the_demo(browser)
        from_questions(browser)
        browser.close()
    print("first start to first drag: all as it should be")


if __name__ == "__main__":
    main()
