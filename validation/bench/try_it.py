"""Try it in a real browser: a tap pressed on the drawing, the word before harm, a whole transfer and mix with its balance,
two who look and see the same, a fault in and out, a record played again; both themes, desk and phone.

    python try_it.py BRINEWRIGHT FOLDER

Pictures stay in FOLDER, to be looked at. Ends with an error at the first thing that isn't so.
"""
import json
import sys
from pathlib import Path

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import sync_playwright

from common import RULES, Bench, holds, quiet, started, until, watched

PROGRAM, FOLDER = (Path(own).resolve() for own in sys.argv[1:3])


def begun(page, task):
    """A task begun, whatever the word before it; then time runs fast until it has ended."""
    page.check('input[name="speed"][value="10"]')
    page.click(f'[data-task="{task}"]')
    until(page, "!document.querySelector('#word').hidden || document.querySelector('#task').textContent !== ''")
    if page.locator("#word").is_visible():
        page.click("#anyway")
    until(page, "document.querySelector('#task').textContent.startsWith('In hand')")


def ended(page):
    page.check('input[name="speed"][value="600"]')
    until(page, "document.querySelector('#task').textContent === ''", seconds=120)


def opened(browser, bench, **how):
    page = watched(browser, bench, **how)
    page.goto(bench.address + "try-it")
    until(page, "document.querySelector('[data-press]') && document.querySelector('#balance').textContent !== ''")
    return page


def press(page, path):
    page.locator(f'[data-press="{path}"]').focus()
    page.keyboard.press("Enter")


def text(page, what):
    return page.evaluate("(what) => document.querySelector(what)?.textContent ?? ''", what)


def runs(page, path):
    return page.locator(f'polyline.runs[data-path="{path}"]').count() > 0


def main():
    FOLDER.mkdir(parents=True, exist_ok=True)
    with sync_playwright() as play, Bench(PROGRAM, "larkhaven") as bench:
        browser = started(play)
        page = opened(browser, bench, viewport={"width": 1440, "height": 1000})
        other = opened(browser, bench, viewport={"width": 360, "height": 780}, color_scheme="dark")
        # A tap without anybody to shut it: first the word, then the water.
        press(page, "valves.fresh-spout")
        until(page, "!document.querySelector('#word').hidden")
        holds("on the floor under" in text(page, "#says"), text(page, "#says"))
        holds(not runs(page, "lines.fresh-spout"), "nothing is done before somebody decides")
        page.click("#anyway")
        until(page, "document.querySelector('polyline.runs[data-path=\"lines.fresh-spout\"]') !== null")
        until(other, "document.querySelector('polyline.runs[data-path=\"lines.fresh-spout\"]') !== null")
        holds("/min" in text(page, '[data-flow="lines.fresh-spout"]'), "the flow has a number")
        page.screenshot(path=FOLDER / "try-tap.png", full_page=True)
        press(page, "valves.fresh-spout")
        until(page, "document.querySelector('polyline.runs') === null")
        # A whole change, a transfer and a mix.
        for task in ["touch-pool-change", "touch-pool-change", "fresh-to-salt"]:
            begun(page, task)
            if task == "fresh-to-salt":
                page.wait_for_timeout(2000)
                page.screenshot(path=FOLDER / "try-transfer.png", full_page=True)
            ended(page)
        page.fill('#salt input[name="mass"]', "2")
        page.click("#salt button")
        begun(page, "mix")
        until(page, "document.querySelector('polyline.runs[data-path=\"lines.mixing-jet\"]') !== null")
        page.screenshot(path=FOLDER / "try-mix.png", full_page=True)
        ended(page)
        page.check('input[name="speed"][value="0"]')
        page.wait_for_timeout(500)
        same = ["#time", "#balance", '[data-level="vessels.salt"] span', "#record"]
        holds([text(page, own) for own in same] == [text(other, own) for own in same], "two who look see the same")
        came, there = text(page, "#balance").split("Salt: ")[1].split(" is there")[0].split(" came, ")
        holds(came == there, f"salt balances: {came} {there}")
        # A fault in and out.
        page.select_option('#break select', index=3)
        page.click("#break button")
        until(page, "document.querySelectorAll('#faults li').length === 1")
        page.click("#faults button")
        until(page, "document.querySelectorAll('#faults li').length === 0")
        record = page.evaluate("async () => (await fetch('/api/live/record')).json()")
        holds(len(record["record"]) >= 7, json.dumps(record))
        at = text(page, "#time")
        page.click("#play")
        until(page, "document.querySelector('#record').textContent.startsWith('0 acts')")
        page.click('[data-skip="230400"]')
        until(page, f"document.querySelector('#record').textContent.startsWith('{len(record['record'])} acts')")
        holds(at != text(page, "#time"), "it went on from the beginning")
        other.screenshot(path=FOLDER / "try-phone-dark.png", full_page=True)
        for own in (page, other):
            found = Axe().run(own, options=RULES).response["violations"]
            holds(not found, [(rule["id"], [node["html"] for node in rule["nodes"]][:3]) for rule in found])
            holds(own.evaluate("document.documentElement.scrollWidth <= innerWidth"), "nothing runs out to the side")
            holds(not own.complaints, own.complaints)
        browser.close()
    print("try it: all as it should be")


if __name__ == "__main__":
    main()
