"""Forms for everything in the station file, in a real browser; called by check.py.

Every number written and read back, the file differing in that value alone; values that need each other; a table of two
columns; another shape with its own fields; a tank and a vessel added, renamed, taken out with what hangs on them, and all
of it taken back to the byte; a value changed by two; a file that can't be read.
"""
import re

from axe_playwright_python.sync_playwright import Axe

from common import LATE, RULES, differing, holds, pictured, quiet, until, watched, written


def together(page, bench, before):
    """Two values that say nothing without each other: the first waits for the second, and both are saved."""
    for path in ["vessels.salt.recirculate_every", "vessels.salt.recirculate_for"]:
        typed(page, path, "1 day" if path.endswith("every") else "30 min")
        if path.endswith("every"):
            until(page, "document.querySelectorAll('[aria-invalid]').length === 1")
            holds(bench.text() == before, "alone it isn't kept")
    written(page, bench, lambda text: text.count("recirculate_") == before.count("recirculate_") + 2)
    until(page, "document.querySelectorAll('[aria-invalid]').length === 0")
    page.complaints = [said for said in page.complaints if "422" not in said]
    page.locator("#undo").click()
    written(page, bench, lambda text: text == before)


def typed(page, path, value):
    """Types a value and leaves its field."""
    until(page, "(path) => document.querySelector(`[data-path=\"${path}\"]`) !== null", arg=path)
    page.evaluate(
        """([path, sent]) => { const own = document.querySelector(`[data-path="${path}"]`); own.value = sent;
        own.dispatchEvent(new Event('change', { bubbles: true })); }""", [path, value])


def refusals(page):
    """What the server refused on purpose stands in the console."""
    page.complaints = [said for said in page.complaints if "422" not in said]


def doubted(page, bench, before):
    """Whoever types a value over is told of the doubt that went with it, and in which unit a bare number was taken."""
    path = "vessels.fresh.stop_level"
    typed(page, path, "34 in")
    written(page, bench, lambda text: 'stop_level = "34 in"' in text)
    until(page, "document.querySelector('#remarked').textContent.includes('The ± 5 mm of the old value went with it')")
    # The field shows inches now.
    until(page, f"document.querySelector('[data-path=\"{path}\"] + [data-unit]').textContent === 'in'")
    typed(page, path, "880")
    until(page, f"document.getElementById('field-{path}-fault').textContent.endsWith('A number alone is taken as in here.')")
    typed(page, path, "34 in")
    until(page, "document.querySelectorAll('[aria-invalid]').length === 0")
    page.locator("#undo").click()
    written(page, bench, lambda text: text == before)
    refusals(page)


def tabled(page, bench, before):
    """A table of two columns is typed as lines; a line that is no pair is refused beside it."""
    path = "pumps.bracket.curve"
    lines = page.eval_on_selector(f'[data-path="{path}"]', "(own) => own.value")
    holds(lines == "0 L/min, 4.5 m\n15 L/min, 3.9 m\n30 L/min, 2.4 m\n45 L/min, 0 m", lines)
    typed(page, path, lines.replace("15 L/min, ", "15 L/min "))
    until(page, f"document.getElementById('field-{path}-fault').textContent.includes('is no pair')")
    typed(page, path, lines.replace("15 L/min", "16 L/min"))
    written(page, bench, lambda text: '["16 L/min", "3.9 m"]' in text)
    holds(len(differing(before, bench.text())) == 1, "its line alone")
    typed(page, path, lines)
    written(page, bench, lambda text: text == before)
    refusals(page)


def reshaped(page, bench, before, folder):
    """Another shape brings its own fields, is saved once all are said, and takes those of the old one out."""
    shape = "vessels.fresh.shape"
    page.evaluate("document.getElementById('at-vessels.fresh').open = true")
    page.select_option(f'[data-path="{shape}"]', "box")
    until(page, "document.querySelector('[data-path=\"vessels.fresh.width\"]') !== null")
    until(page, f"document.getElementById('field-{shape}-fault').textContent.includes('what stands below')")
    holds(page.locator('[data-path="vessels.fresh.diameter"]').count() == 0, "a box has no diameter")
    holds(page.locator('[data-path="vessels.fresh.height"]').input_value() == "1010 mm ± 4 mm", "both have a height")
    page.locator('[data-path="vessels.fresh.length"]').fill("650 mm")
    page.locator('[data-path="vessels.fresh.length"]').press("Tab")
    pictured(page, path=folder / "another-shape.png")
    holds(bench.text() == before, "half a shape isn't kept")
    page.locator("[data-save-shape]").click()
    until(page, "document.activeElement?.dataset.path === 'vessels.fresh.width'")
    page.locator('[data-path="vessels.fresh.width"]').fill("600 mm")
    page.locator('[data-path="vessels.fresh.width"]').press("Tab")
    holds(bench.text() == before, "nor is a whole one, until it is said to be")
    page.locator("[data-save-shape]").click()
    written(page, bench, lambda text: 'shape = "box"' in text)
    until(page, "document.querySelector('[data-save-shape]') === null")
    own = bench.text().split("[vessels.fresh]")[1].split("[vessels.salt]")[0]
    holds('length = "650 mm"' in own and 'width = "600 mm"' in own and "diameter" not in own, own)
    until(page, "document.querySelectorAll('[aria-invalid]').length === 0")
    page.locator("#undo").click()
    written(page, bench, lambda text: text == before)
    until(page, "document.querySelector('[data-path=\"vessels.fresh.diameter\"]') !== null")
    refusals(page)
    # A shape that has no measure but the old one's isn't saved by walking past it: measures would be lost.
    page.evaluate("document.getElementById('at-vessels.salt').open = true")
    page.select_option('[data-path="vessels.salt.shape"]', "cylinder")
    until(page, "document.querySelector('[data-save-shape]') !== null")
    page.wait_for_timeout(400)
    holds(bench.text() == before, "a cone that a hand passes over stays one")
    page.select_option('[data-path="vessels.salt.shape"]', "cone bottom")
    until(page, "document.querySelector('[data-path=\"vessels.salt.cone_height\"]')?.value === '280 mm ± 5 mm'")
    until(page, "document.querySelectorAll('[aria-invalid]').length === 0")
    # Chosen and chosen back, nothing was changed.
    page.select_option(f'[data-path="{shape}"]', "measured")
    until(page, "document.querySelector('[data-path=\"vessels.fresh.table\"]') !== null")
    page.select_option(f'[data-path="{shape}"]', "cylinder")
    until(page, "document.querySelector('[data-path=\"vessels.fresh.diameter\"]')?.value === '710 mm ± 4 mm'")
    until(page, "document.querySelectorAll('[aria-invalid]').length === 0")
    holds(bench.text() == before, "and the file is as it was")


def whole(page, bench, before, folder):
    """A section of each kind that the station needs is added by hand, one is renamed, one goes with what hangs on it."""
    page.locator("#add-tanks > summary").click()
    until(page, "document.activeElement?.id === 'new-tanks'")
    page.keyboard.type("lagoon")
    page.keyboard.press("Enter")
    until(page, "document.activeElement?.id === 'new-tanks-volume'")
    for key, value in [("volume", "90"), ("salinity", "35"), ("temperature", "24 furlongs")]:
        page.fill(f"#new-tanks-{key}", value)
    page.keyboard.press("Enter")
    at = "(key) => document.activeElement?.closest('form[data-waits]') && document.activeElement.dataset.key === key"
    until(page, at, arg="temperature")
    fault = page.inner_text(f'#{page.evaluate("document.activeElement.id")}-fault')
    holds("no unit" in fault, f"a fault stands beside its field: {fault}")
    page.fill('form[data-waits] [data-key="temperature"]', "24")
    page.keyboard.press("Enter")
    # What it lacks is told with the field that mends it.
    until(page, at, arg="evaporation")
    pictured(page, path=folder / "a-tank-is-added.png")
    holds(bench.text() == before, "nothing is kept until all is well")
    told = Axe().run(page, options=RULES)
    holds(told.violations_count == 0, f"a new tank: {told.generate_report()}")
    page.keyboard.type("2")
    page.keyboard.press("Enter")
    written(page, bench, lambda text: text != before)
    block = '\n[tanks.lagoon]\nvolume = "90 L"\nsalinity = 35\ntemperature = "24 C"\nevaporation = "2 L/day"\n'
    holds(bench.text().replace(block, "", 1) == before, "one section more, and nothing else")
    until(page, "document.activeElement?.parentElement?.id === 'at-tanks.lagoon'")
    refusals(page)
    # A name that is taken stays the other's; another is the section's.
    name = page.locator('[data-rename="tanks.lagoon"]')
    page.evaluate("document.querySelector('[id=\"at-tanks.lagoon\"] .ends').open = true")
    name.fill("kelp-tank")
    name.press("Tab")
    until(page, "document.getElementById('name-tanks.lagoon-fault').textContent.includes('already')")
    refusals(page)
    name.fill("mangrove")
    name.press("Tab")
    written(page, bench, lambda text: "[tanks.mangrove]" in text)
    holds(bench.text().replace("mangrove", "lagoon").replace(block, "", 1) == before, "its name, and nothing else")
    until(page, "document.activeElement?.id === 'name-tanks.mangrove'")
    # What names a vessel follows its name.
    page.evaluate("document.querySelectorAll('[id=\"at-vessels.fresh\"], [id=\"at-vessels.fresh\"] .ends').forEach((own) => { own.open = true; })")
    name = page.locator('[data-rename="vessels.fresh"]')
    name.fill("spring")
    name.press("Tab")
    written(page, bench, lambda text: "[vessels.spring]" in text)
    holds(bench.text().count('from = "spring"') == before.count('from = "fresh"') > 1, "its lines begin at it still")
    # And it goes with all that can't be without it.
    gone = "[data-take-out=\"vessels.spring\"]"
    until(page, f"document.querySelector('{gone}') !== null")
    words = page.locator('[id="at-vessels.spring"] .ends').inner_text()
    for own in ["line fresh out", "valve fresh spout", "lineup fresh bucket", "draw point fresh tap"]:
        holds(own in words, f"{own}: {words}")
    pictured(page, path=folder / "a-vessel-is-taken-out.png")
    page.locator(gone).click()
    written(page, bench, lambda text: "spring" not in text)
    until(page, "document.getElementById('at-vessels.spring') === null && document.getElementById('at-draw_points.fresh-tap') === null")
    page.locator('[id="at-tanks.mangrove"] .ends').evaluate("(own) => { own.open = true; }")
    until(page, "document.querySelector('[data-take-out=\"tanks.mangrove\"]') !== null")
    page.locator('[data-take-out="tanks.mangrove"]').click()
    written(page, bench, lambda text: "mangrove" not in text)
    until(page, "document.getElementById('at-tanks.mangrove') === null")
    back(page, bench, before)
    until(page, "document.getElementById('at-vessels.fresh') !== null && document.getElementById('at-tanks.lagoon') === null")


def back(page, bench, before):
    """All of it is taken back to the byte."""
    steps = 0
    while bench.text() != before:
        holds(steps < 8, "all of it is taken back to the byte")
        steps += 1
        now = bench.text()
        page.locator("#undo").click()
        written(page, bench, lambda text, now=now: text != now)
        until(page, "!document.querySelector('#redo').disabled")


def added(page, table, name, values):
    """Fills the form of a new section in, and sends it."""
    page.locator(f"#add-{table} > summary").click()
    until(page, f"document.getElementById('new-{table}') !== null")
    page.locator(f"#new-{table}").fill(name)
    for key, value in values.items():
        field = page.locator(f"#new-{table}-{key}")
        if field.evaluate("(own) => own.tagName") == "SELECT":
            field.select_option(value)
        else:
            field.fill(value)
    page.locator(f"#add-{table} button[type=submit]").click()


def piped(page, bench, before, folder):
    """Parts of the plumbing that need each other wait for each other, in whatever order somebody thinks of them."""
    waits = "(count) => document.querySelectorAll('form[data-waits]').length === count"
    hose = {"tube": "vinyl hose", "size": "19 mm", "length": "800 mm"}
    added(page, "draw_points", "garden-tap", {"height": "400 mm"})
    until(page, waits, arg=1)
    holds("line leads to" in page.inner_text("form[data-waits] [data-fault]"), "why it waits")
    until(page, "document.querySelector('#state').textContent.includes('one section isn\\'t added')")
    pictured(page, path=folder / "a-draw-point-waits.png")
    told = Axe().run(page, options=RULES)
    holds(told.violations_count == 0, f"a draw point waits: {told.generate_report()}")
    added(page, "lines", "garden", {"from": "fresh", "to": "garden-tap", **hose})
    written(page, bench, lambda text: "[lines.garden]" in text and "garden-tap = {" in text)
    until(page, waits, arg=0)
    # A line is parted by a tee: its new end, the tee and the line behind it only stand together.
    typed(page, "lines.garden.to", "fork")
    until(page, "document.getElementById('field-lines.garden.to-fault').textContent.includes('leads nowhere')")
    added(page, "tees", "fork", {"height": "500 mm"})
    until(page, waits, arg=1)
    added(page, "lines", "garden-end", {"from": "fork", "to": "garden-tap", **hose})
    written(page, bench, lambda text: "[lines.garden-end]" in text)
    until(page, waits, arg=0)
    # And a third way is taken from it.
    added(page, "draw_points", "wash-tap", {"height": "450 mm"})
    until(page, waits, arg=1)
    added(page, "lines", "wash", {"from": "fork", "to": "wash-tap", **hose})
    written(page, bench, lambda text: "[lines.wash]" in text)
    text = bench.text()
    for own in ['to = "fork"', "fork = {", "[lines.garden-end]", "wash-tap = {"]:
        holds(own in text, own)
    until(page, waits, arg=0)
    until(page, "document.querySelectorAll('[aria-invalid]').length === 0 && document.querySelector('#state').textContent === 'saved'")
    # What waits is judged with all that waits: the one thing that is wrong is told where it is.
    bare = {"tube": "vinyl hose", "size": "19 mm", "length": "800 mm"}
    added(page, "lines", "second", {"from": "fresh", "to": "booster", **bare})
    until(page, waits, arg=1)
    holds("nothing is named" in page.inner_text("form[data-waits]"), "a pump that isn't there yet")
    added(page, "pumps", "booster", {"curve": "0 L/min, 3 m\n20 L/min, 2 m\n30 L/min, 0 m", "height": "300 mm"})
    until(page, waits, arg=2)
    listed = page.eval_on_selector_all("#names-vessels-pumps-tees-tanks option", "(all) => all.map((own) => own.value)")
    holds("booster" in listed, f"what waits is offered: {listed}")
    added(page, "lines", "third", {"from": "booster", "to": "wash-tap", **bare})
    until(page, waits, arg=3)
    told = page.inner_text("form[data-waits] >> nth=0") + page.inner_text("form[data-waits] >> nth=1")
    holds("nothing is named" not in told, f"by now it is: {told}")
    while page.locator("[data-leave]").count():
        page.locator("[data-leave]").first.click()
    until(page, waits, arg=0)
    # One that is wrong by itself doesn't keep the others out, and goes on waiting.
    added(page, "draw_points", "yard-tap", {"height": "450 mm"})
    until(page, waits, arg=1)
    added(page, "tanks", "odd", {"volume": "9 furlongs", "salinity": "35", "temperature": "24"})
    until(page, waits, arg=2)
    added(page, "lines", "yard", {"from": "fresh", "to": "yard-tap", **bare})
    written(page, bench, lambda text: "[lines.yard]" in text and "yard-tap = {" in text)
    until(page, waits, arg=1)
    holds("no unit" in page.inner_text("form[data-waits]"), "and says why")
    text = bench.text()
    page.locator("[data-leave]").click()
    until(page, waits, arg=0)
    # What waits and isn't wanted any more is left out.
    added(page, "valves", "nowhere", {"line": "no-such", "kind": "ball"})
    until(page, waits, arg=1)
    page.locator("[data-leave]").click()
    until(page, waits, arg=0)
    holds(bench.text() == text, "and nothing came of it")
    refusals(page)
    back(page, bench, before)


def sought(page, bench, before):
    """A value is found by words of its section, its label, its key; what isn't in the file is listed with the way to it."""
    shown = "[...document.querySelectorAll('#forms [data-path]')].filter((own) => own.checkVisibility()).map((own) => own.dataset.path)"
    find, path = page.locator("#find"), "tanks.seahorse-nursery.evaporation"
    page.evaluate("document.getElementById('at-room').open = true")
    find.fill("Seahorse evaporation")
    until(page, "document.querySelector('#found').textContent !== ''")
    own = [path, path + "_in_winter", "tanks.seahorse-nursery.surface"]
    holds(page.evaluate(shown) == own, f"by its section and what it is: {page.evaluate(shown)}")
    holds(page.locator("#found").text_content() == "3 values in 1 section", page.locator("#found").text_content())
    find.press("Enter")
    holds(page.evaluate("document.activeElement.dataset.path") == path, "Enter leads to the first")
    page.keyboard.press("Control+a")
    page.keyboard.type("6 of something")
    page.keyboard.press("Tab")
    until(page, "document.querySelectorAll('#unsaved button').length === 1")
    way = page.locator("#unsaved button")
    holds(way.text_content() == "Tank seahorse nursery: water that evaporates, as measured from the top-off", way.text_content())
    find.fill("no such thing")
    until(page, "document.querySelector('#found').textContent.startsWith('1 value ')")
    holds(page.evaluate(shown) == [path], "what isn't saved stays in sight")
    find.press("Escape")
    holds(page.locator("#at-room").get_attribute("open") is not None, "what stood open stands open again")
    holds(page.locator("#at-feed").get_attribute("open") is None, "and nothing else")
    page.evaluate("scrollTo(0, 1e6)")
    holds(way.is_visible() and way.bounding_box()["y"] < 200, "the list goes along")
    way.click()
    until(page, "(path) => document.activeElement.dataset.path === path", arg=path)
    box = page.evaluate("() => { const own = document.activeElement.getBoundingClientRect(); return [own.top, own.bottom]; }")
    holds(80 < box[0] and box[1] < 900, f"and the field is in sight, at {box}")
    page.keyboard.press("Control+a")
    page.keyboard.type("6 L/day ± 1 L/day")
    page.keyboard.press("Tab")
    until(page, "document.querySelector('#unsaved').textContent === ''")
    written(page, bench, lambda text: text != before)
    # What is looked for is taken back by the browser, and nothing of the file with it.
    kept = bench.text()
    find.fill("no such")
    find.press("Control+z")
    page.wait_for_timeout(300)
    holds(bench.text() == kept, "nothing is taken back in the file")
    find.press("Escape")
    page.locator("#undo").click()
    written(page, bench, lambda text: text == before)
    page.evaluate("document.getElementById('at-room').open = false")
    refusals(page)


def unreadable(page, bench, before):
    """A file that can't be read is told as that, and forms don't show nothing in its place."""
    bench.write(before + "not = [toml\n")
    until(page, "document.querySelector('#broken').textContent.includes('nothing can be changed here')")
    holds(page.locator('[data-path="reserve.salt"]').count() == 1, "what was shown stays")
    page.reload()
    until(page, "document.querySelector('#broken').textContent.includes('nothing can be changed here')")
    holds(page.locator("#forms [data-path]").count() == 0, "no empty forms")
    bench.write(before)
    until(page, "document.querySelector('#broken').textContent === ''")
    until(page, "document.querySelector('[data-path=\"reserve.salt\"]') !== null")


def forms(browser, bench, folder):
    """Every form saved and read back; one value changed, one refused beside its field, one taken out."""
    page = watched(browser, bench, viewport={"width": 1200, "height": 900})
    page.goto(bench.address + "edit")
    before = bench.text()
    said = "document.querySelector('#told').textContent"
    # Each number written with one digit more: the file differs in that value alone, and the page shows what is in the file.
    numbers = 0
    for path in page.eval_on_selector_all("#forms input[data-path]", "(all) => all.map((own) => own.dataset.path)"):
        value = page.eval_on_selector(f'[data-path="{path}"]', "(own) => own.value")
        longer = re.sub(r"^(-?\d+)(\.\d+)?(?![\d.])(?! \d+/)", lambda own: own[1] + (own[2] or ".") + "0", value, count=1)
        # An hour or a day of the year is no such number.
        if longer == value or re.match(r"[\[{]|\d+:|\d+ [A-Z]", value):
            continue
        numbers += 1
        for sent, stands in [(longer, lambda text: len(differing(before, text)) == 1), (value, lambda text: text == before)]:
            typed(page, path, sent)
            written(page, bench, stands)
            until(page, "([path, sent]) => document.querySelector(`[data-path=\"${path}\"]`).value === sent", arg=[path, sent])
    holds(numbers > 40, f"numbers were typed: {numbers}")
    together(page, bench, before)
    doubted(page, bench, before)
    tabled(page, bench, before)
    reshaped(page, bench, before, folder)
    whole(page, bench, before, folder)
    piped(page, bench, before, folder)
    sought(page, bench, before)
    unreadable(page, bench, before)
    page.evaluate("document.querySelectorAll('details').forEach((own) => { own.open = true; })")
    field = page.locator('[data-path="reserve.salt"]')
    old = field.input_value().strip()
    field.fill("31 furlongs")
    field.press("Tab")
    until(page, "document.getElementById('field-reserve.salt-fault').textContent.includes('no unit')")
    holds(bench.text() == before, "what is refused isn't kept")
    head = "document.querySelector('#state').textContent"
    holds(page.evaluate(head) == "one field isn't saved", f"and isn't called saved: {page.evaluate(head)}")
    page.complaints = [said for said in page.complaints if "422" not in said]
    field.fill("31 gal")
    field.press("Tab")
    written(page, bench, lambda text: text != before)
    changed = differing(before, bench.text())
    holds(len(changed) == 1 and '"31 gal"' in changed[0][1], changed)
    field.fill(old)
    field.press("Tab")
    written(page, bench, lambda text: text == before)
    until(page, f"{head} === 'saved'")
    # A value that is typed back before the answer to the last is there is a change all the same.
    page.evaluate(LATE, ["", 500])
    field.fill("31 gal")
    field.press("Tab")
    written(page, bench, lambda text: text != before)
    field.fill(old)
    field.press("Tab")
    written(page, bench, lambda text: text == before)
    page.evaluate("() => { window.fetch = window.quick; }")
    until(page, f"{head} === 'saved'")
    # A number alone is taken in the unit that the field shows, and shown with it: in that of the file, once it is shown.
    unit = old.rsplit(" ", 1)[1]
    until(page, "(unit) => document.querySelector('[data-path=\"reserve.salt\"] + [data-unit]').textContent === unit", arg=unit)
    field.fill("31")
    field.press("Tab")
    written(page, bench, lambda text: f'salt = "31 {unit}"' in text)
    until(page, "(said) => document.querySelector('[data-path=\"reserve.salt\"]').value === said", arg=f"31 {unit}")
    # Back and forth as on the drawing, and to the field; what is being typed is the browser's.
    page.locator("#undo").click()
    written(page, bench, lambda text: text == before)
    until(page, "(said) => document.querySelector('[data-path=\"reserve.salt\"]').value === said", arg=old)
    until(page, "document.activeElement.dataset.path === 'reserve.salt'")
    page.keyboard.press("Control+y")
    written(page, bench, lambda text: f'salt = "31 {unit}"' in text)
    until(page, "document.querySelector('#redo').disabled")
    page.keyboard.press("Control+z")
    written(page, bench, lambda text: text == before)
    # A link from another page opens the field's section and goes to it.
    page.goto(bench.address + "edit#field-vessels.fresh.stop_level")
    page.reload()
    until(page, "document.activeElement?.dataset?.path === 'vessels.fresh.stop_level'")
    page.evaluate("document.querySelectorAll('details').forEach((own) => { own.open = true; })")
    # Somebody else changes it while it is being typed: both are shown, and mine is chosen.
    taken = page.locator('[data-path="vessels.fresh.low_cutout_level"]')
    for choice, stands, goes_on in [("theirs", "33 gal", False), ("yours", "32 gal", False), ("yours", "32 gal", True)]:
        field.focus()
        page.keyboard.press("End")
        page.keyboard.press("Backspace")
        now = bench.text()
        elsewhere = re.sub(r'(\[reserve\][^\[]*?salt = )"[^"]*"', r'\1"33 gal"', now, count=1)
        holds(elsewhere != now, "it is changed elsewhere")
        bench.write(elsewhere)
        page.wait_for_timeout(1500)
        field.fill("32 gal")
        field.press("Tab")
        until(page, "!document.getElementById('field-reserve.salt-conflict').hidden")
        holds(bench.text() == elsewhere, "nothing is overwritten")
        pictured(page, path=folder / f"conflict-form-{choice}.png")
        page.evaluate(LATE, ["/api/change", 500])
        page.locator(f'[id="field-reserve.salt-conflict"] [data-choose="{choice}"]').click()
        until(page, "document.getElementById('field-reserve.salt-conflict').hidden")
        written(page, bench, lambda text, stands=stands: f'salt = "{stands}"' in text)
        until(page, "(stands) => document.querySelector('[data-path=\"reserve.salt\"]').value === stands", arg=stands)
        if goes_on:
            # Whoever is in another field by the time that the answer comes stays there.
            taken.focus()
            until(page, f"{head} === 'saved' && document.querySelector('#told').textContent === 'saved'")
            page.wait_for_timeout(800)
            at = page.evaluate("document.activeElement.dataset.path")
            holds(at == "vessels.fresh.low_cutout_level", f"the focus stays where it was put, and not at {at}")
        # Typed back before the answer to what was chosen is there, it is a change as well.
        field.fill(old)
        field.press("Tab")
        written(page, bench, lambda text: text == before)
        page.evaluate("() => { window.fetch = window.quick; }")
    page.complaints = [said for said in page.complaints if "409" not in said]
    line = next(own for own in before.splitlines(True) if own.startswith("low_cutout_level"))
    taken.fill("")
    taken.press("Tab")
    written(page, bench, lambda text: line not in text)
    holds(bench.text() == before.replace(line, "", 1), "and nothing else is")
    # What another program changes comes by itself.
    bench.write(before)
    until(page, "document.querySelector('[data-path=\"vessels.fresh.low_cutout_level\"]').value !== ''")
    told = Axe().run(page, options=RULES)
    holds(told.violations_count == 0, f"forms: {told.generate_report()}")
    quiet(page, "forms")
    page.close()


