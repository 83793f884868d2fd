"""A first station in a real browser: from the demo straight through to a file on the workbench, with answers of one's own
beside a file that is there, by keyboard alone, faults beside their fields; both themes, desk and phone.

    python begin.py BRINEWRIGHT FOLDER

Pictures stay in FOLDER, to be looked at. Ends with an error at the first thing that isn't so.
"""
import subprocess
import sys
from pathlib import Path

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import sync_playwright

from common import RULES, Bench, holds, pictured, quiet, started, still, until, watched

PROGRAM, FOLDER = (Path(own).resolve() for own in sys.argv[1:3])
DESK = {"viewport": {"width": 1440, "height": 1000}}
PHONE = {"viewport": {"width": 360, "height": 780}, "color_scheme": "dark", "reduced_motion": "reduce"}


def checked(page, picture):
    """A picture of it; nothing to complain of, nothing out to the side."""
    pictured(page, path=FOLDER / f"{picture}.png", full_page=True)
    found = Axe().run(page, options=RULES).response["violations"]
    holds(not found, [(rule["id"], [node["html"] for node in rule["nodes"]][:3]) for rule in found])
    holds(page.evaluate("document.documentElement.scrollWidth <= innerWidth"), f"{picture}: out to the side")
    quiet(page, picture)


def planned(page):
    until(page, "!document.querySelector('#result').hidden && !document.querySelector('.stale')")
    holds(page.locator("#verdict").inner_text().startswith("Sound"), page.locator("#verdict").inner_text())
    holds(page.locator("#pictured svg").count() > 0, "the drawing is there")
    holds(page.locator(".choices dt").count() >= 10, "each choice is told")


def on_the_workbench(page, bench, name):
    page.wait_for_url(bench.address)
    until(page, f"document.querySelector('#file')?.textContent === '{name}' && document.querySelector('#paper svg')")
    holds(page.locator(".note").count() == 0, "no demo any more")


def proved(file):
    """The file by itself, by the command line: nothing must be fixed."""
    told = subprocess.run([PROGRAM, "prove", file, "--strict"], capture_output=True, text=True, check=False)
    holds(told.returncode == 0, told.stdout[:400] + told.stderr)


def straight_through(browser):
    """From the demo's own link, pressing twice."""
    with Bench(PROGRAM) as bench:
        page = watched(browser, bench, **DESK)
        page.goto(bench.address)
        page.click("text=Begin your own station")
        until(page, "document.querySelector('#plan')")
        checked(page, "begin-questions")
        page.click("#plan")
        planned(page)
        checked(page, "begin-planned")
        holds(not bench.file.exists(), "looking writes nothing")
        page.click("#write button")
        on_the_workbench(page, bench, "station.toml")
        proved(bench.file)
        # A second one never takes the first one's place.
        first = bench.text()
        page.goto(bench.address + "begin")
        holds("station.toml lies open" in page.locator("main").inner_text(), "it says what lies open")
        page.click("#plan")
        planned(page)
        holds(page.input_value("#name") == "station-2.toml", "another name is offered")
        page.fill("#name", "station.toml")
        page.click("#write button")
        until(page, "document.querySelector('#name-fault').textContent.includes('station-2.toml is free')")
        page.fill("#name", "../out.toml")
        page.click("#write button")
        until(page, "document.querySelector('#name-fault').textContent.includes('not a path')")
        holds(bench.text() == first, "nothing was overwritten")
        # What was refused is told by the browser's own console too.
        page.complaints = [own for own in page.complaints if "422" not in own]
        quiet(page, "straight through")
        page.close()


def own_answers(browser):
    """On a phone by night: gallons, three tanks, one of them taken out again, faults beside their fields."""
    with Bench(PROGRAM) as bench:
        page = watched(browser, bench, **PHONE)
        page.goto(bench.address + "begin")
        page.select_option("#units", "US")
        holds(page.input_value('[id="tanks.0.volume"]') == "75 gal", "usual answers go with the units")
        page.click("#add")
        page.click("#add")
        page.fill('[id="tanks.1.name"]', "Frag tank")
        page.fill('[id="tanks.1.volume"]', "40 bowls")
        page.fill("#pressure", "900 psi")
        page.fill('[id="tanks.2.volume"]', "20 gal")
        page.fill('[id="tanks.2.evaporation"]', "1 qt of it")
        page.locator(".out").nth(2).click()
        page.click("#plan")
        until(page, "document.querySelector('[id=\"tanks.1.volume-fault\"]').textContent.includes('is no unit known here')")
        holds(page.evaluate("document.activeElement.id") == "tanks.1.volume", "it goes to the first fault")
        holds("is beyond" in page.locator("#pressure-fault").inner_text(), "each has its own words beside it")
        wrong = page.evaluate("[...document.querySelectorAll('[aria-invalid]')].map((own) => own.id).join()")
        holds(wrong == "tanks.1.volume,pressure", f"both are marked: {wrong}")
        told = page.locator("#questions .sum").inner_text()
        holds("Tank 2: Its water, sump and all, Its pressure" in told, f"and told where one pressed: {told}")
        page.locator("#questions .sum a").last.click()
        holds(page.evaluate("document.activeElement.id") == "pressure", "from there one comes to the field")
        page.fill("#pressure", "")
        # A number alone is taken in the unit that its field shows.
        page.fill('[id="tanks.1.volume"]', "40")
        page.press('[id="tanks.1.volume"]', "Tab")
        holds(page.input_value('[id="tanks.1.volume"]') == "40 gal", "a bare number gets its unit")
        page.fill('[id="tanks.1.every"]', "weekly")
        page.fill('[id="tanks.1.change"]', "10")
        page.fill('[id="tanks.1.salinity"]', "1.0226 sg 60F/60F")
        page.fill("#width", "20 in")
        page.click("#plan")
        until(page, "document.querySelector('#width-fault').textContent.includes('The floor is too small')")
        page.complaints = [own for own in page.complaints if "422" not in own]
        checked(page, "begin-faults-phone-dark")
        page.fill("#width", "9 ft")
        page.fill("#pressure", "30 psi")
        page.select_option("#chloramine", "no")
        page.select_option("#thrift", "kept")
        page.click("#plan")
        planned(page)
        holds("Booster" in page.locator(".choices").inner_text(), "little pressure brings a booster")
        holds("Salinity of a batch" in page.locator(".choices").inner_text(), "tanks that differ are told")
        checked(page, "begin-planned-phone-dark")
        still(page, "begin, for whoever wants no motion")
        # Answers that are others make old what stands there: it says so, and can be read.
        page.fill("#width", "8 ft")
        until(page, "document.querySelector('#result.stale .was')?.checkVisibility()")
        checked(page, "begin-old-phone-dark")
        page.fill("#name", "Fish room.toml")
        page.click("#write button")
        on_the_workbench(page, bench, "Fish room.toml")
        file = Path(bench.folder.name) / "Fish room.toml"
        holds("[tanks.frag-tank]" in file.read_text() and 'units = "US"' in file.read_text(), "as it was answered")
        proved(file)
        page.close()


def by_keyboard(browser):
    """Tab, Enter, and nothing else."""
    with Bench(PROGRAM) as bench:
        page = watched(browser, bench, viewport={"width": 820, "height": 1100})
        page.goto(bench.address + "begin")

        def to(what):
            for _ in range(60):
                page.keyboard.press("Tab")
                if page.evaluate("(what) => document.activeElement?.matches(what)", what):
                    return
            holds(False, f"the keyboard comes to {what}")

        to("#plan")
        page.keyboard.press("Enter")
        planned(page)
        holds(page.evaluate("document.activeElement.id") == "result", "the result has the focus")
        to("#write button")
        page.keyboard.press("Enter")
        on_the_workbench(page, bench, "station.toml")
        holds(bench.file.exists(), "the file is there")
        quiet(page, "by keyboard")
        page.close()


def main():
    FOLDER.mkdir(parents=True, exist_ok=True)
    with sync_playwright() as play:
        browser = started(play)
        straight_through(browser)
        own_answers(browser)
        by_keyboard(browser)
        browser.close()
    print("begin: all as it should be")


if __name__ == "__main__":
    main()
