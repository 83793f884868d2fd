"""What is done to a station file outside the workbench, in a real browser; called by check.py.

A change in an editor comes by itself, a text that is no station is told, what was changed here is taken back beneath what an
editor did since, and a file that is gone is told and written again.
"""
import re

from common import differing, grip, holds, kept, pictured, ready, until, written


def edited_elsewhere(page, bench):
    """A change in an editor comes by itself; a text that is no station is told in the words of the command line."""
    text = bench.text()
    level = re.search(r'low_cutout_level = "(\d+) mm', text)
    bench.write(text.replace(level[0], 'low_cutout_level = "95 mm'))
    until(page, 
        "document.querySelector('.grip[data-handle=\"vessels.fresh.low_cutout_level\"]')"
        "?.getAttribute('aria-valuetext')?.startsWith('95 mm')"
    )
    ready(page)
    sound = bench.text()
    bench.write(sound.replace('holds = "fresh"', 'holds = "milk"', 1))
    until(page, "document.querySelector('#refused').textContent.includes('milk')")
    bench.write(sound)
    until(page, "document.querySelector('#refused').textContent === ''")
    ready(page)
    # The browser's console tells of the refusals that were asked for.
    page.complaints = [said for said in page.complaints if "422" not in said]


def taken_away(page, bench, folder):
    """A file that is gone is told, nothing is saved meanwhile, and a press writes it again, as it was."""
    text, aside = bench.text(), bench.file.with_suffix(".aside")
    bench.file.rename(aside)
    until(page, "!document.querySelector('#gone').hidden && document.querySelector('#state').textContent === 'not in the file'")
    pictured(page, path=folder / "gone.png")
    aside.rename(bench.file)
    until(page, "document.querySelector('#gone').hidden")
    ready(page)
    bench.file.unlink()
    until(page, "!document.querySelector('#gone').hidden")
    page.click("#write-again")
    until(page, "document.querySelector('#gone').hidden")
    holds(bench.text() == text, "it is written as it was")
    ready(page)


def beneath(page, bench):
    """Take back takes out what was changed here, beneath what an editor did since."""
    before = bench.text()
    grip(page, "vessels.fresh.stop_level").focus()
    page.keyboard.press("ArrowDown")
    kept(page, lambda: page.keyboard.press("Enter"))
    holds(len(differing(before, bench.text())) == 1, "one value is another")
    title = re.search(r'^title = .*$', before, re.M)[0]
    edited = 'title = "Larkhaven, edited"'
    kept(page, lambda: bench.write(bench.text().replace(title, edited, 1)))
    kept(page, lambda: page.click("#undo"))
    written(page, bench, lambda now: now == before.replace(title, edited, 1))
    kept(page, lambda: bench.write(before))


def elsewhere(page, bench, folder):
    """All of it."""
    edited_elsewhere(page, bench)
    beneath(page, bench)
    taken_away(page, bench, folder)
