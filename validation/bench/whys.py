"""The figures that lead and their whys, in a real browser; called by check.py.

Six lead; one opened closes the one before and moves none sideways; a why goes on to what it is made of and to fields of the
file; a figure that a hand isn't followed by keeps its place; a part of the schematic leads to its values.
"""
from axe_playwright_python.sync_playwright import Axe

from common import RULES, grip, holds, leads_to_its_values, pictured, ready, until


def opened(page, folder):
    """Each opens its why, and one at a time."""
    figures = page.locator("#leading details")
    holds(figures.count() == 6, "six figures lead")
    lefts = [own.bounding_box()["x"] for own in figures.all()]
    for own in figures.all():
        own.locator("summary").click()
        holds(own.locator(".why").is_visible(), "it opens its why")
        holds(page.locator("#leading details[open]").count() == 1, "one is open at a time")
        holds([one.bounding_box()["x"] for one in figures.all()] == lefts, "no figure leaves its place")
        said = own.locator(".why").bounding_box()
        holds(abs(said["width"] - page.locator("#leading").bounding_box()["width"]) < 2, "a why has the whole width")
    told = Axe().run(page, options=RULES)
    holds(told.violations_count == 0, f"figures opened: {told.generate_report()}")
    pictured(page, path=folder / "figures-opened.png")
    figures.last.locator("summary").click()


def down(page, own):
    """Whys of whys, as far as they go."""
    for depth in range(1, 8):
        button = own.locator(".of-why[aria-expanded=false]")
        if button.count() == 0:
            return
        button.first.click()
        until(page, "(depth) => document.querySelectorAll('#leading .deeper .why').length === depth", arg=depth)


def deeper(page, folder):
    """From the reserve to the volume it is of, to its level, to the field of the file."""
    own = page.locator("#leading details").first
    own.locator("summary").click()
    down(page, own)
    holds(own.locator(".deeper .why").count() > 2, "whys go on")
    told = Axe().run(page, options=RULES)
    holds(told.violations_count == 0, f"whys of whys: {told.generate_report()}")
    pictured(page, path=folder / "why-of-why.png")
    first = own.locator(".of-why").first
    first.click()
    holds(own.locator(".why > table > tbody > .deeper").count() == 0 and first.get_attribute("aria-expanded") == "false",
          "it closes, with what it opened")
    down(page, own)
    field = own.locator(".origin a").first
    path = field.get_attribute("href").split("#field-")[1]
    field.click()
    page.wait_for_url("**/edit#**")
    until(page, "(path) => document.activeElement?.dataset?.path === path", arg=path)
    page.go_back()
    ready(page)


def keeps_its_place(page):
    """How long an emergency's salt water takes hangs on the lines: while a mark moves it is the old one, marked so."""
    slow = "#leading [data-place='1']"
    name = page.locator(f"{slow} .name").text_content()
    before = page.locator(f"{slow} .value").text_content()
    always = page.locator("#leading [data-place='0'] .value")
    was = always.text_content()
    own = grip(page, "vessels.fresh.start_level")
    own.focus()
    own.press("PageUp")
    until(page, "(was) => document.querySelector('#leading [data-place=\"0\"] .value').textContent !== was", arg=was)
    holds("old" in page.locator(slow).get_attribute("class").split(), "what isn't known is marked as old")
    holds([page.locator(f"{slow} {what}").text_content() for what in (".name", ".value")] == [name, before], "and stays")
    own.press("Escape")
    until(page, "(was) => document.querySelector('#leading [data-place=\"0\"] .value').textContent === was", arg=was)
    ready(page)
    until(page, f"!document.querySelector(\"{slow}\").classList.contains('old')")


def from_the_schematic(page):
    """A part of the lines leads to its values."""
    page.locator("#pipework").scroll_into_view_if_needed()
    until(page, "document.querySelector('#pipes svg text[data-path^=\"valves.\"]') !== null")
    leads_to_its_values(page, page.locator('#pipes svg text[data-path^="valves."]').first)


def whys(page, folder):
    opened(page, folder)
    deeper(page, folder)
    keeps_its_place(page)
    from_the_schematic(page)
