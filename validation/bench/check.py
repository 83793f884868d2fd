"""The workbench in a real browser, as somebody meets it.

    python check.py BRINEWRIGHT FOLDER [drawing] [pages] [work] [fields]

Marks are dragged by pointer and by keyboard and the file differs in one value; back and forward; what an editor does
meanwhile; a cure applied; two pages on one station; one value changed by two, chosen by a press; long work begun,
stopped and begun again; every kind of field saved and read back; every page in both themes on a desk and on a phone, with an
accessibility checker (axe-core) and an empty console; nothing asked of any other machine. Pictures stay in FOLDER, to be
looked at. Ends with an error at the first thing that isn't so.
"""
import os
import re
import sys
from pathlib import Path

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import sync_playwright

from common import (
    EXAMPLES, LATE, MOVING, RULES, Bench, differing, grip, holds, kept, opened, pictured, quiet, ready, started, still, until,
    watched, written,
)
from elsewhere import elsewhere
from fields import fields
from forms import forms
from heights import heights
from whys import whys

PROGRAM, FOLDER = (Path(own).resolve() for own in sys.argv[1:3])
AGAIN = """async (rules) => (await axe.run(document, rules)).violations
    .map(({ id, nodes }) => [id, nodes.map(({ html }) => html).slice(0, 3)])"""
SHAPES = {"desk": (1440, 1000), "tablet": (820, 1100), "phone": (360, 780)}


# In every frame of the screen: how far the frame of a label is from the label, px.
TOGETHER = """() => {
    window.apart = [0];
    const path = 'vessels.fresh.stop_level';
    const middle = (own) => { const box = own.getBoundingClientRect(); return box.top + box.height / 2; };
    const look = () => {
        const label = document.querySelector(`#paper text[data-path="${path}"]`);
        const frame = [...document.querySelectorAll(`.grip[data-handle="${path}"] .hit`)].at(-1);
        if (label && frame) window.apart.push(Math.abs(middle(label) - middle(frame)));
        requestAnimationFrame(look);
    };
    requestAnimationFrame(look);
}"""


def dragged(page, bench):
    """First start to first drag: the file differs in just that value, and its remark stays."""
    # A sentence that comes may still be a line longer than what kept its place.
    until(page, "!document.querySelector('#verdict').classList.contains('old')")
    before = bench.text()
    box = grip(page, "vessels.fresh.stop_level").locator(".hit").last.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    found = page.locator("#findings .finding").count()
    page.mouse.move(x, y)
    page.mouse.down()
    page.evaluate(TOGETHER)
    page.mouse.move(x, y + 24, steps=6)
    until(page, "document.querySelector('#state').textContent === 'trying'")
    page.wait_for_timeout(300)
    apart = page.evaluate("Math.max(...window.apart)")
    holds(apart < 2, f"the mark's frame and its label move as one: {apart:.1f} px apart")
    holds(page.locator("#findings.old .finding").count() == found, "what was found keeps its place meanwhile, marked as old")
    holds(bench.text() == before, "nothing is kept while the hand is on the mark")
    page.mouse.up()
    until(page, "!document.querySelector('#undo').disabled")
    changed = differing(before, bench.text())
    holds(len(changed) == 1, changed)
    old, new = changed[0]
    level = re.compile(r'stop_level = "(\d+) mm')
    holds(int(level.search(new)[1]) < int(level.search(old)[1]), f"it went down: {changed}")
    holds(int(level.search(new)[1]) % 5 == 0, f"it snaps to what one can mark: {new}")
    holds(old.split('"')[2:] == new.split('"')[2:], f"its remark stays: {changed}")
    ready(page)


def by_keyboard(page, bench):
    """The same without a pointer."""
    path = "vessels.fresh.start_level"
    before = bench.text()
    grip(page, path).focus()
    for _ in range(3):
        page.keyboard.press("ArrowUp")
    kept(page, lambda: page.keyboard.press("Enter"))
    changed = differing(before, bench.text())
    holds(len(changed) == 1 and "start_level" in changed[0][1], changed)
    holds(page.evaluate("document.activeElement.dataset.handle") == path, "the focus stays on the mark")
    before = bench.text()
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Escape")
    ready(page)
    holds(bench.text() == before, "Escape leaves it where it was")
    # After a second without a key it is kept too, and a screen reader hears it; so it is when one goes on.
    kept(page, lambda: page.keyboard.press("ArrowUp"))
    until(page, "/start of .*; saved/i.test(document.querySelector('#told').textContent)")
    holds(len(differing(before, bench.text())) == 1, "a pause keeps it")
    until(page, "(path) => document.activeElement.dataset.handle === path", arg=path)
    page.keyboard.press("ArrowDown")
    kept(page, lambda: page.keyboard.press("Tab"))
    holds(bench.text() == before, "and so does going on")


def resized(page, bench):
    """A rim pulled up and a floor let down by hand, a side by keyboard, another vessel put there; each taken back."""
    first = bench.text()
    for key, by in [("height", -30), ("floor_height", 30), ("diameter", 0)]:
        before = bench.text()
        own = grip(page, f"vessels.fresh.{key}")
        if by:
            box = own.locator(".hit").first.bounding_box()
            x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
            page.mouse.move(x, y)
            page.mouse.down()
            page.mouse.move(x, y + by, steps=6)
            until(page, "document.querySelector('#state').textContent === 'trying'")
            kept(page, page.mouse.up)
        else:
            own.focus()
            page.keyboard.press("ArrowLeft")
            kept(page, lambda: page.keyboard.press("Enter"))
        changed = differing(before, bench.text())
        holds(len(changed) == 1 and changed[0][1].startswith(f"{key} = "), changed)
    page.select_option('#exchange [name="name"]', "salt")
    page.select_option('#exchange [name="catalogue"]', label="upright tank of 500 L, Ø 850 mm x 900 mm")
    kept(page, lambda: page.click("#exchange button"))
    holds('nominal_volume = "500 L"' in bench.text() and "cone_height" not in bench.text(), "another vessel stands there")
    pictured(page, path=FOLDER / "another-vessel.png")
    for _ in range(4):
        kept(page, lambda: page.click("#undo"))
    holds(bench.text() == first, "all of it is taken back")


# Floors, rims and sides whose knob something else lies on.
COVERED = """() => [...document.querySelectorAll('.grip:not(.level)')].filter((grip) => {
    const knob = grip.querySelector('.knob');
    knob.scrollIntoView({ block: 'center' });
    const box = knob.getBoundingClientRect();
    const there = document.elementFromPoint(box.x + box.width / 2, box.y + box.height / 2);
    return there?.closest('.grip') !== grip;
}).map((grip) => grip.dataset.handle)"""


# Every text of a mark's label from now on.
WATCHED = """(path) => {
    window.told = [];
    const look = () => {
        const said = document.querySelector(`#paper text[data-path="${path}"]`)?.textContent;
        if (said && said !== window.told.at(-1)) window.told.push(said);
    };
    new MutationObserver(look).observe(document.querySelector('#paper'), { childList: true, subtree: true, characterData: true });
    look();
}"""


def overtaken(browser, bench):
    """A late answer to what was asked for before a change doesn't show what was."""
    page = opened(browser, bench, viewport={"width": 1440, "height": 1000})
    page.evaluate(LATE, ["/api/view", 1500])
    path = "vessels.fresh.stop_level"
    mark = grip(page, path)
    mark.focus()
    page.keyboard.press("ArrowDown")
    kept_at = re.compile(r'stop_level = "(\d+) mm')
    before = int(kept_at.search(bench.text())[1])
    page.keyboard.press("Enter")
    written(page, bench, lambda text: int(kept_at.search(text)[1]) == before - 5)
    # The page asks anew, for what was checked; its answer is on its long way while the next move is kept.
    page.wait_for_timeout(700)
    mark.focus()
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    written(page, bench, lambda text: int(kept_at.search(text)[1]) == before - 10)
    until(page, "(said) => document.querySelector('#paper').textContent.includes(said)", arg=f"{before - 10} mm")
    page.evaluate(WATCHED, path)
    page.wait_for_timeout(2500)
    told = page.evaluate("window.told")
    holds(len(told) == 1, f"a label shows what was: {told}")
    page.evaluate("() => { window.fetch = window.quick; }")
    ready(page)
    page.close()


def stopped(page, bench):
    """An end stops a mark, and says there what it is; nothing is refused, nothing is changed."""
    ready(page)
    before = bench.text()
    mark = grip(page, "vessels.fresh.stop_level")
    # In the hand there is no pause that would keep it, however long what follows takes.
    box = mark.locator(".hit").last.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x, y + 600, steps=20)
    until(page, "(said) => document.querySelector('#stopped').textContent.startsWith(said)", arg="no lower: the start level is at")
    # What is drawn comes a little behind the hand, and the note with it.
    until(page, "(said) => document.querySelector('#paper').textContent.includes(said)", arg="stop 2")
    note, own = page.locator("#stopped").bounding_box(), mark.bounding_box()
    apart = max(own["y"] - note["y"] - note["height"], note["y"] - own["y"] - own["height"])
    holds(0 <= apart < 20, f"it is told at the mark: {apart} px off")
    pictured(page, path=FOLDER / "stopped.png")
    page.keyboard.press("Escape")
    page.mouse.up()
    ready(page)
    holds(bench.text() == before, "a mark that is taken back changes nothing")


def on_a_phone(browser, bench):
    """Each grip is the one that it looks like, and the drawing stays where it is under a finger."""
    page = opened(browser, bench, viewport={"width": 360, "height": 780})
    until(page, "document.querySelector('#year').textContent !== '' && !document.querySelector('#year').classList.contains('old')")
    covered = page.evaluate(COVERED)
    holds(not covered, f"a grip is under the pointer that takes it, not what lies over {covered}")
    stands = "document.querySelector('#paper').getBoundingClientRect().top + scrollY"
    knob = grip(page, "vessels.fresh.start_level").locator(".knob")
    knob.scroll_into_view_if_needed()
    before, box = page.evaluate(stands), knob.bounding_box()
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.mouse.down()
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] - 10, steps=4)
    until(page, "document.querySelector('#state').textContent === 'trying'")
    holds(page.evaluate(stands) == before, "the drawing stays where it is under a hand")
    kept(page, page.mouse.up)
    until(page, "!document.querySelector('#verdict').classList.contains('old')")
    holds(page.evaluate(stands) == before, "and afterwards")
    page.close()


def back_and_forward(page, bench, first):
    twice = bench.text()
    # A drag, a move by keyboard, and one there and back.
    for button, times in [("#undo", 4), ("#redo", 4)]:
        for _ in range(times):
            kept(page, lambda: page.click(button))
        holds(bench.text() == (first if button == "#undo" else twice), f"{button} goes all the way")
        holds(page.is_disabled(button), f"{button} has nothing more to do")


def led(page):
    """A finding leads to its place on the drawing, and to its field."""
    page.locator("#findings [data-where]").first.press("Enter")
    until(page, "document.querySelector('svg .pointed') !== null")
    until(page, "document.querySelector('#told').textContent.includes('marked')")
    place = page.locator("#findings .place a").first
    path = place.get_attribute("href").split("#field-")[1]
    place.click()
    page.wait_for_url("**/edit#**")
    until(page, "(path) => document.activeElement?.dataset?.path?.startsWith(path)"
          " || document.activeElement?.closest?.('.section')?.open"
          " || document.getElementById('at-' + path)?.open", arg=path)
    page.go_back()
    ready(page)


def cured(page, bench):
    """A finding's cure by one press, and back by another."""
    before = bench.text()
    own = "#findings .finding[data-of=proof]"
    says = page.locator(own + " button[data-cure]").first.get_attribute("data-says")
    offered = "(says) => [...document.querySelectorAll('#findings [data-says]')].some((own) => own.dataset.says === says)"
    page.locator(own + " button[data-cure]").first.focus()
    page.keyboard.press("Enter")
    until(page, f"(says) => !({offered})(says)", arg=says)
    ready(page)
    holds(bench.text() != before, "it stands in the file")
    until(page, "document.activeElement?.matches('#findings [data-cure]')")
    page.click("#undo")
    ready(page)
    until(page, offered, arg=says)
    holds(bench.text() == before, "it is taken back to the last byte")


def cured_on_pages(browser, bench):
    """A cure of wrong valves and one of the years, each on its page by one press, and back by another."""
    page = watched(browser, bench, viewport={"width": 390, "height": 844})
    before = bench.text()
    for path in ["mistakes", "year"]:
        page.goto(bench.address + path)
        until(page, "document.querySelector('#main').dataset.state === 'fresh' && !document.querySelector('#share')")
        until(page, "document.querySelector('#main [data-cure]') !== null")
        says = page.locator("#main [data-cure]").first.get_attribute("data-says")
        page.locator("#main [data-cure]").first.click()
        until(page, "(says) => document.querySelector('#made').textContent.includes(says)", arg=f"Applied: {says}.")
        holds(bench.text() != before, f"{path}: it stands in the file")
        pictured(page, path=FOLDER / f"cured-on-{path}-phone.png")
        # Whether the page is old still or came anew, it can be read.
        found = Axe().run(page, options=RULES)
        holds(found.violations_count == 0, f"{path}: {found.generate_report()}")
        page.click("#made button")
        until(page, "document.querySelector('#made').textContent.includes('Taken back')")
        holds(bench.text() == before, f"{path}: it is taken back to the last byte")
    quiet(page, "cures on pages")
    page.close()


def two_pages(browser, page, bench):
    """What one page does, the other shows."""
    other = opened(browser, bench)
    grip(other, "vessels.fresh.stop_level").focus()
    other.keyboard.press("PageDown")
    kept(other, lambda: other.keyboard.press("Enter"))
    shown = grip(other, "vessels.fresh.stop_level").get_attribute("aria-valuetext")
    until(page, 
        "(shown) => document.querySelector('.grip[data-handle=\"vessels.fresh.stop_level\"]')"
        ".getAttribute('aria-valuetext') === shown",
        arg=shown,
    )
    ready(page)
    quiet(other, "the other page")
    other.close()


def conflict(page, bench):
    """A mark that somebody else moved while it was in the hand: both values, and each choice does what it says."""
    path = "vessels.fresh.stop_level"
    line = re.compile(r'stop_level = "(\d+) mm')

    def met(theirs):
        # In the hand there is no pause that would keep it.
        box = grip(page, path).locator(".hit").last.bounding_box()
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        page.mouse.move(x, y)
        page.mouse.down()
        page.mouse.move(x, y + 18, steps=6)
        until(page, "document.querySelector('#state').textContent === 'trying'")
        bench.write(line.sub(f'stop_level = "{theirs} mm', bench.text(), count=1))
        page.mouse.up()
        until(page, "!document.querySelector('#conflict').hidden")
        holds(f'stop_level = "{theirs} mm' in bench.text(), "nothing is overwritten")
        said = page.locator("#conflict").inner_text()
        holds(f"{theirs} mm" in said and "Vessel Fresh: " in said and "vessels." not in said, said)
        holds(page.evaluate("document.activeElement.closest('#conflict') !== null"), "it has the focus")
        return said

    before = bench.text()
    met(845)
    pictured(page, path=FOLDER / "conflict.png")
    told = Axe().run(page, options=RULES)
    holds(told.violations_count == 0, f"a conflict: {told.generate_report()}")
    # Theirs, by the keyboard.
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    until(page, "document.querySelector('#conflict').hidden")
    ready(page)
    holds('stop_level = "845 mm' in bench.text(), "theirs stands")
    until(page, "(path) => document.activeElement.dataset.handle === path", arg=path)
    # Mine, by a press.
    said = met(835)
    mine = re.search(r"Take yours: (\d+) mm", said)[1]
    kept(page, lambda: page.click('#conflict [data-choose="yours"]'))
    holds(f'stop_level = "{mine} mm' in bench.text(), "mine stands")
    bench.write(before)
    until(page, "(path) => document.querySelector(`.grip[data-handle=\"${path}\"]`)?.getAttribute('aria-valuetext')"
          "?.startsWith('" + line.search(before)[1] + " mm')", arg=path)
    ready(page)
    # Several at once: a cure of many values, changed elsewhere before it arrived.
    page.evaluate("""async () => {
        const { settle } = await import('/look/conflict.js');
        const met = (path, place, theirs, yours) => ({ path, place, theirs, yours });
        const clash = {
            revision: 1,
            conflicts: [met('a', 'Vessel Fresh: its height', '1 m', '2 m'), met('b', 'Vessel Salt: its height', '3 m', '4 m')],
            edits: [{ path: 'a', text: '"2 m"' }, { path: 'b', text: '"4 m"' }, { path: 'c', text: '5' }],
        };
        settle(document.querySelector('#conflict'), clash).then((own) => { window.settled = own; });
    }""")
    until(page, "document.querySelectorAll('#conflict fieldset').length === 2")
    pictured(page, path=FOLDER / "conflicts.png")
    page.click('[data-conflict="b"] [data-choose="yours"]')
    holds(page.evaluate("window.settled === undefined"), "one choice isn't all")
    page.click('[data-conflict="a"] [data-choose="theirs"]')
    until(page, "window.settled !== undefined")
    holds(page.evaluate("window.settled.edits.map((own) => own.path).join()") == "b,c", "theirs is left, the rest is made")
    page.complaints = [said for said in page.complaints if "409" not in said]


def printed(browser, bench):
    """On paper: nothing to press, and in Edit what the file says."""
    page = watched(browser, bench, viewport={"width": 800, "height": 1000})
    page.emulate_media(media="print")
    for path in ["", "try-it", "edit", "needs", "supply", "levels", "plumbing", "mistakes", "away", "year", "compare", "begin"]:
        page.goto(bench.address + path)
        until(page, "document.querySelector('main') !== null")
        page.wait_for_timeout(600)
        pressed = page.evaluate(
            """[...document.querySelectorAll('button:not([role=switch]), input[type=file], nav a')].filter((own) => own.checkVisibility())
            .map((own) => own.textContent.trim())""")
        holds(not pressed, f"/{path} on paper has something to press: {pressed}")
        if path == "edit":
            page.evaluate("dispatchEvent(new Event('beforeprint'))")
            shown = page.evaluate(
                "[...document.querySelectorAll('[data-path]')].filter((own) => own.checkVisibility() && own.value !== '').length")
            holds(shown > 200, f"what the file says is on paper: {shown} values")
            page.evaluate("dispatchEvent(new Event('afterprint'))")
            holds(page.locator("details.section[open]").count() == 0, "and folds up again")
    quiet(page, "on paper")
    page.close()


def many_tabs(browser, bench):
    """More pages than a browser has connections for: those in the background let go of theirs, and take in what came when
    they are seen again."""
    context = browser.new_context()
    seen = """(seen) => { Object.defineProperty(document, 'hidden', { get: () => !seen, configurable: true });
    document.dispatchEvent(new Event('visibilitychange')); }"""
    tabs = []
    for path in ["", "needs", "try-it", "edit", "supply", "levels", "plumbing", "mistakes"]:
        tab = context.new_page()
        tab.goto(bench.address + path)
        until(tab, "document.querySelector('main, #site, #forms') !== null")
        tab.wait_for_timeout(200)
        tab.evaluate(seen, False)
        tabs.append(tab)
    first = tabs[1]
    before = first.evaluate("document.querySelector('#main').dataset.revision")
    text = bench.text()
    bench.write(text.replace('title = "', 'title = "Changed: ', 1))
    tabs[0].wait_for_timeout(300)
    first.evaluate(seen, True)
    until(first, "(before) => document.querySelector('#main').dataset.revision !== before", arg=before)
    bench.write(text)
    context.close()


def looked_at(browser, bench, name):
    """Both themes, a desk and a phone: no fault of access, nothing too wide, nothing in the console; by night for whoever wants
    no motion, and nothing moves."""
    for theme in ["light", "dark"]:
        for shape, (width, height) in SHAPES.items():
            what = f"{name}, {theme}, {shape}"
            motion = "reduce" if theme == "dark" else "no-preference"
            page = opened(
                browser, bench, viewport={"width": width, "height": height}, color_scheme=theme, reduced_motion=motion
            )
            if motion == "reduce":
                still(page, what)
            else:
                holds(any("hit" in own for own in page.evaluate(MOVING)), f"{what}: what a hand may take comes up softly")
            wide = page.evaluate("document.documentElement.scrollWidth - innerWidth")
            holds(wide <= 0, f"{what}: {wide} px too wide")
            small = page.evaluate(
                "[...document.querySelectorAll('#drawing text')].map((own) => own.getBoundingClientRect().height)"
                ".reduce((least, own) => Math.min(least, own), 99)"
            )
            holds(small >= 11.5, f"{what}: text of {small:.1f} px in the drawing")
            # WCAG 2.2, 2.5.8: what a finger takes is 24 px at least; a mark is taken by its label.
            low = page.evaluate(
                """[...document.querySelectorAll('.grip')].map((own) => Math.max(...[...own.querySelectorAll('.hit, .reach')]
                .map((one) => one.getBoundingClientRect()).map((box) => Math.min(box.width, box.height))))"""
            )
            holds(shape != "phone" or min(low) >= 24, f"{what}: something to take is {min(low):.1f} px")
            # A level that is set has the 44 px of the look, by its label.
            high = page.evaluate(
                """[...document.querySelectorAll('.grip[data-handle$="_level"]')].map((own) => Math.max(...[...own.querySelectorAll('.reach')]
                .map((one) => one.getBoundingClientRect().height)))"""
            )
            holds(shape != "phone" or min(high) >= 43.9, f"{what}: a level to take is {min(high):.1f} px high")
            tops = page.evaluate("['#verdict', '#paper'].map((own) => document.querySelector(own).getBoundingClientRect().top)")
            holds(shape == "desk" or tops[0] < tops[1], f"{what}: the verdict stands before the drawing")
            told = Axe().run(page, options=RULES)
            holds(told.violations_count == 0, f"{what}: {told.generate_report()}")
            pictured(page, path=FOLDER / f"{name}-{theme}-{shape}.png", full_page=True)
            quiet(page, what)
            page.close()


def long_work(browser, bench):
    """Ten thousand years begun, watched, stopped, and begun again; the end of it heard, the console empty."""
    page = watched(browser, bench, viewport={"width": 1440, "height": 1000})
    page.goto(bench.address + "year")
    all_there = "!document.querySelector('#share') && !document.querySelector('#work').textContent.includes('still to be tried')"
    until(page, f"document.querySelector('#main').dataset.state === 'fresh' && {all_there}")
    # What is heard meanwhile is written down.
    page.evaluate("""() => {
        const told = document.querySelector('#told');
        window.heard = [];
        new MutationObserver(() => window.heard.push(told.textContent)).observe(told, { childList: true, characterData: true, subtree: true });
    }""")
    page.click('[data-years="10000"]')
    until(page, "document.querySelector('#share')?.value > 0 && document.querySelector('#said').textContent.includes(' of ')")
    said = text(page, "#said")
    holds(re.fullmatch(r"[\d ]+ of 10 000 years", said), said)
    holds(page.get_attribute('[data-years="10000"]', "aria-pressed") == "true", "the choice is shown")
    page.locator("[data-stop]").focus()
    page.keyboard.press("Enter")
    until(page, "document.querySelector('#work p')?.textContent.startsWith('Stopped: ')")
    stopped = text(page, "#work p")
    years = re.search(r"What stands here is of ([\d ]+) years", stopped)[1]
    holds(int(years.replace(" ", "")) < 10000, stopped)
    holds(f"{years} years were walked through" in text(page, "#main"), stopped)
    heard = page.evaluate("window.heard")
    holds(any(own.startswith("Begun") for own in heard), f"that it began is heard: {heard}")
    holds(text(page, "#told").startswith("Stopped"), f"that it was stopped is heard: {heard}")
    holds(page.evaluate("document.activeElement.textContent") == "Begin again", "the focus is where one goes on")
    pictured(page, path=FOLDER / "long-work-stopped.png")
    page.keyboard.press("Enter")
    until(page, "document.querySelector('[data-stop]') !== null")
    found = Axe().run(page, options=RULES)
    holds(found.violations_count == 0, f"long work: {found.generate_report()}")
    pictured(page, path=FOLDER / "long-work.png")
    page.click('[data-years="100"]')
    until(page, "/\\b100\\syears were walked through/.test(document.querySelector('#main').textContent)"
          f" && {all_there}", seconds=180)
    holds(page.locator("#share").count() == 0 and "Stopped" not in text(page, "#work"), "nothing is left of the stop")
    quiet(page, "long work")
    page.close()


def text(page, what):
    """What is said there; blanks at which no line ends are blanks."""
    return page.evaluate("(what) => document.querySelector(what)?.textContent ?? ''", what).replace("\xa0", " ")


PAGES = ["try-it", "edit", "needs", "supply", "levels", "plumbing", "mistakes", "away", "year", "compare"]


def whole_numbers(page, what):
    """No line of prose can end between the thousands of a number; what can be chosen from a list doesn't wrap."""
    cut = page.evaluate("""() => {
        const found = [];
        const all = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
        while (all.nextNode()) {
            const { textContent, parentElement } = all.currentNode;
            if (parentElement.closest('svg, option, script')) continue;
            found.push(...(textContent.match(/.{0,20}(?<![\\d.])\\d{1,3} \\d{3}(?!\\d).{0,10}/g) ?? []));
        }
        return found;
    }""")
    holds(not cut, f"{what}: a number that may be cut: {cut}")


def folded(page, what):
    """On a phone a long table shows its first five rows until it is opened."""
    shown = """() => [...document.querySelectorAll('.scroll:has(+ .rest)')].filter((own) => own.checkVisibility())
        .map((own) => [...own.querySelectorAll('tbody tr')].filter((row) => row.checkVisibility()).length)"""
    holds(all(own == 5 for own in page.evaluate(shown)), f"{what}: {page.evaluate(shown)} rows shown")
    first = page.locator(".scroll + .rest > summary:visible")
    if first.count() > 0:
        first.first.click()
        holds(page.evaluate(shown)[0] > 5, f"{what}: all rows are there once they are asked for")
        first.first.click()


def other_pages(browser, bench, name):
    """Every other page on a desk and on a phone, in both themes, by every rule; on a phone for whoever wants no motion. Of the
    first example all, and with EVERY in the environment of all; of the others each page on one of the two in turn. By night
    pictures are of the first example: a theme is the same for all."""
    whole = "EVERY" in os.environ or name == EXAMPLES[0]
    for shape, motion in [("desk", "no-preference"), ("phone", "reduce")]:
        width, height = SHAPES[shape]
        page = opened(
            browser, bench, viewport={"width": width, "height": height}, color_scheme="light", reduced_motion=motion
        )
        turn = (EXAMPLES.index(name) + (shape == "phone")) % 2
        for path in PAGES if whole else PAGES[turn::2]:
            what = f"{name}, {path}, {shape}"
            page.answered.clear()
            page.goto(bench.address + path)
            until(page, "document.querySelector('#main')?.dataset.state !== 'waiting'"
                  " && document.querySelector('#state').textContent !== 'being computed'")
            light(page, what)
            wide = page.evaluate("document.documentElement.scrollWidth - innerWidth")
            holds(wide <= 0, f"{what}: {wide} px too wide")
            whole_numbers(page, what)
            if shape == "phone":
                folded(page, what)
                still(page, what)
            told = Axe().run(page, options=RULES)
            holds(told.violations_count == 0, f"{what}, light: {told.generate_report()}")
            pictured(page, path=FOLDER / f"{name}-{path}-light-{shape}.png", full_page=True)
            page.emulate_media(color_scheme="dark")
            # The checker is on the page already, and is as large as one.
            found = page.evaluate(AGAIN, RULES)
            holds(not found, f"{what}, dark: {found}")
            if name == EXAMPLES[0]:
                pictured(page, path=FOLDER / f"{name}-{path}-dark-{shape}.png", full_page=True)
            page.emulate_media(color_scheme="light")
            quiet(page, what)
        page.close()


def light(page, what):
    """What was asked for weighs no more than a page may, kB."""
    weight = sum(asked.sizes()["responseBodySize"] for asked in list(page.answered)) / 1000
    page.answered.clear()
    holds(weight < 200, f"{what} weighs {weight:.0f} kB")
    return weight


def drawing(browser):
    """The drawing as the place of work."""
    with Bench(PROGRAM, "larkhaven") as bench:
        first = bench.text()
        page = opened(browser, bench, viewport={"width": 1440, "height": 1000})
        dragged(page, bench)
        by_keyboard(page, bench)
        back_and_forward(page, bench, first)
        resized(page, bench)
        heights(browser, page, bench, FOLDER)
        elsewhere(page, bench, FOLDER)
        cured(page, bench)
        led(page)
        whys(page, FOLDER)
        two_pages(browser, page, bench)
        stopped(page, bench)
        overtaken(browser, bench)
        on_a_phone(browser, bench)
        conflict(page, bench)
        quiet(page, "the first page")
        page = opened(browser, bench)
        print(f"the first page weighs {light(page, 'the first page'):.0f} kB")
        page.close()


def pages(browser):
    """Every page of every example."""
    for name in EXAMPLES:
        with Bench(PROGRAM, name) as bench:
            looked_at(browser, bench, name)
            other_pages(browser, bench, name)


def work(browser):
    """What other pages change, compute and take in."""
    with Bench(PROGRAM, "larkhaven") as bench:
        cured_on_pages(browser, bench)
        many_tabs(browser, bench)
        printed(browser, bench)
    # The largest example: its years last as long as it takes to watch them.
    with Bench(PROGRAM, "skelder-hatchery") as bench:
        long_work(browser, bench)
    with Bench(PROGRAM, "larkhaven") as bench:
        forms(browser, bench, FOLDER)


# Of the school, whose forms are the same, one field of so many; of the largest none, but with EVERY in the environment.
SHARES = {"larkhaven": 1, "juniper-street-school": 5, "skelder-hatchery": 0}


def every_field(browser):
    """Every kind of field of the file."""
    for name in EXAMPLES if "EVERY" in os.environ else [own for own in EXAMPLES if SHARES[own] > 0]:
        with Bench(PROGRAM, name) as bench:
            fields(browser, bench, SHARES[name])


PARTS = {"drawing": drawing, "pages": pages, "work": work, "fields": every_field}


def main():
    FOLDER.mkdir(parents=True, exist_ok=True)
    with sync_playwright() as tools:
        browser = started(tools)
        for part in sys.argv[3:] or PARTS:
            PARTS[part](browser)
            print(f"the workbench does what it says: {part}")
        browser.close()


if __name__ == "__main__":
    main()
