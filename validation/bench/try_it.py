"""Try it in a real browser: a tap pressed on the drawing, the word before harm, a whole transfer and mix with its balance,
two who look and see the same, a fault in and out, a record played again, put in again from a file, and refused where it is
wrong; a card followed step by step, left and gone on from; water drawn where it stands, what runs, one figure for a run;
harm in sight wherever one is on the page; both themes, desk and phone.

    python try_it.py BRINEWRIGHT FOLDER

Pictures stay in FOLDER, to be looked at. Ends with an error at the first thing that isn't so.
"""
import json
import re
import sys
from pathlib import Path

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import sync_playwright

from common import RULES, Bench, holds, pictured, quiet, started, until, watched

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


def pace(page):
    return page.evaluate("document.querySelector('input[name=\"speed\"]:checked')?.value")


def paced(page, other):
    """The pace that was chosen last stands, however late the server hears of it and of those before; then anybody's does."""
    held = []
    page.route("**/api/live/pace", lambda asked: held.append(asked))
    for speed in ("60", "600", "60"):
        page.check(f'input[name="speed"][value="{speed}"]')
    for late in range(3):
        page.wait_for_timeout(200)
        held[late].continue_()
        until(other, f"document.querySelector('input[name=\"speed\"]:checked').value === '{'600' if late == 1 else '60'}'")
        for _ in range(12):
            page.wait_for_timeout(100)
            holds(pace(page) == "60", f"a pace of before came back: {pace(page)}")
    page.unroute("**/api/live/pace")
    other.check('input[name="speed"][value="0"]')
    until(page, "document.querySelector('input[name=\"speed\"]:checked').value === '0'")


def opened(browser, bench, **how):
    page = watched(browser, bench, **how)
    page.goto(bench.address + "try-it")
    until(page, "document.querySelector('[data-press]') && document.querySelector('#balance-says').textContent !== ''")
    return page


def press(page, path):
    page.locator(f'[data-press="{path}"]').focus()
    page.keyboard.press("Enter")


def text(page, what):
    return page.evaluate("(what) => document.querySelector(what)?.textContent ?? ''", what)


def runs(page, path):
    return page.locator(f'polyline.runs[data-path="{path}"]').count() > 0


DRAWN = """() => Object.fromEntries([...document.querySelectorAll('polygon[data-water]')].map((water) => {
  const walls = [...document.querySelectorAll(`polyline[data-path="${water.dataset.water}"]`)];
  const [wall] = walls.filter((own) => own.points.length === 4).map((own) => [...own.points].map(({ y }) => y));
  const surface = Math.min(...[...water.points].map(({ y }) => y));
  return [water.dataset.water, (wall[1] - surface) / (wall[1] - wall[0])];
}))"""
TOLD = """() => Object.fromEntries([...document.querySelectorAll('[data-level]')].map((own) =>
  [own.dataset.level, own.querySelector('progress').value]))"""


def stands(page, least):
    """Water is drawn as high as it is told, in everything that holds any: at least so many. They are told and drawn in one
    go, but read in two."""
    drawn, told = page.evaluate(f"[({DRAWN})(), ({TOLD})()]")
    holds(set(drawn) == set(told) and len(drawn) >= least, f"{drawn} {told}")
    for own, share in told.items():
        holds(abs(drawn[own] - share) < 5e-3, f"{own} is drawn at {drawn[own]}, told {share}")
    return drawn


def in_sight(page, what):
    """Whole in the window, from the top of the page to its foot, and nothing lies over it."""
    for down in ["0", "document.body.scrollHeight / 2", "document.body.scrollHeight"]:
        page.evaluate(f"scrollTo(0, {down})")
        # What was told meanwhile may still be on its way to the page: it comes to rest in sight.
        until(page, """(what) => {
          const { left, top, right, bottom } = document.querySelector(what).getBoundingClientRect();
          const over = document.elementFromPoint((left + right) / 2, (top + bottom) / 2);
          return top >= 0 && bottom <= innerHeight && bottom > top && document.querySelector(what).contains(over);
        }""", arg=what)
    page.evaluate("scrollTo(0, 0)")


def figures_apart(page):
    """One figure for a run, and none over another or over a pump."""
    boxes = page.evaluate("""() => [...document.querySelectorAll('text.flow, #paper circle[data-path^="pumps."]')].map((own) => {
      const { left, top, right, bottom } = own.getBoundingClientRect();
      return { said: own.textContent, left, top, right, bottom };
    })""")
    said = [own["said"] for own in boxes if own["said"]]
    holds(said and len(said) == len(set(said)), f"one figure for a run: {said}")
    for at, a in enumerate(boxes):
        for b in boxes[at + 1:]:
            apart = a["right"] <= b["left"] or b["right"] <= a["left"] or a["bottom"] <= b["top"] or b["bottom"] <= a["top"]
            holds(apart or not (a["said"] or b["said"]), f"{a} and {b}")


def harmed(page, other):
    """A tap that nobody shuts: water stands on the floor, and both see it at once. A record of it is played by itself."""
    page.click('[data-again="filling"]')
    until(page, "document.querySelector('polyline.runs[data-path=\"purifier.feed\"]') !== null")
    until(page, "document.querySelector('polyline.runs[data-path=\"purifier.product.fresh\"]') !== null")
    holds(page.locator('polygon.shut[data-path="purifier.feed_valve"]').count() == 0, "the feed valve is open")
    low = stands(page, 6)["vessels.fresh"]
    page.click('[data-again="full"]')
    until(page, "document.querySelectorAll('polyline.runs').length === 0")
    holds(page.locator('polygon.shut[data-path="purifier.feed_valve"]').count() == 2, "the feed valve is shut")
    holds(stands(page, 6)["vessels.fresh"] > low + 0.3, "a full vessel is drawn fuller")
    holds(page.locator("#harm-now").is_hidden(), "no harm yet")
    press(page, "valves.fresh-spout")
    until(page, "!document.querySelector('#word').hidden")
    page.click("#anyway")
    page.check('input[name="speed"][value="60"]')
    for own in (page, other):
        until(own, "!document.querySelector('#harm-now').hidden")
        holds("on the floor under Fresh tap" in text(own, "#harm-says"), text(own, "#harm-says"))
        holds("on the floor" in text(own, "#told"), text(own, "#told"))
    page.check('input[name="speed"][value="0"]')
    page.wait_for_timeout(400)
    for own, name in ((page, "desk"), (other, "phone")):
        in_sight(own, "#harm-now")
        stands(own, 6)
        pictured(own, path=FOLDER / f"harm-{name}.png")
    figures_apart(page)
    page.click("#play")
    until(page, "document.querySelector('#record').textContent.includes('being played, 1 to come')")
    until(page, "document.querySelector('#harm-now').hidden && document.querySelectorAll('#harms li').length === 0")
    holds(not page.is_checked('input[name="speed"][value="0"]'), "it is played, time or not")
    until(page, "document.querySelector('#record').textContent.startsWith('1 act so far')")
    page.check('input[name="speed"][value="60"]')
    until(page, "!document.querySelector('#harm-now').hidden")
    page.check('input[name="speed"][value="1"]')


NEXT = "#steps li.next span:first-child"


def in_hand(page):
    """The card is in sight, with the step that is next: it comes a moment after the card."""
    until(page, "!document.querySelector('#card').hidden && document.querySelector('#do-step') !== null")


def step(page):
    """The step that is next is done by its own button; waits until the next one stands there."""
    before = text(page, NEXT)
    page.click("#do-step")
    until(page, "(before) => document.querySelector('#steps li.next span')?.textContent !== before", arg=before)


def beside_what_asked(page):
    """The question stands by what was pressed, and leads back to it."""
    for own in ['[data-task="touch-pool-change"]', '[data-switch="valves.fresh-spout"]']:
        page.locator(own).focus()
        page.keyboard.press("Enter")
        until(page, "!document.querySelector('#word').hidden")
        holds(page.locator("li", has=page.locator(own)).locator("#word").count() == 1, "the question stands beside it")
        pictured(page, path=FOLDER / "word-beside.png", full_page=True)
        page.click("#leave")
        holds(page.evaluate("(own) => document.activeElement?.matches(own)", own), "back to what was pressed")
    press(page, "valves.fresh-spout")
    until(page, "!document.querySelector('#word').hidden")
    holds(page.locator("#site #word").count() == 1, "and by the drawing")
    page.click("#leave")


def followed(page, other):
    """A card from rest to its end and back: by its buttons and by the drawing, once beside it, on two pages at once."""
    page.click('[data-again="full"]')
    until(page, "document.querySelector('#record').textContent.startsWith('0 acts')")
    page.check('input[name="speed"][value="1"]')
    beside_what_asked(page)
    page.locator('[data-card="touch-pool-change"]').focus()
    page.keyboard.press("Enter")
    in_hand(page)
    until(other, "!document.querySelector('#card').hidden")
    holds(page.locator("#tasks").is_hidden(), "one card at a time, and nothing that would end another")
    # A number and its unit stay on one line.
    steps = [own.replace("\xa0", " ") for own in page.locator("#steps li").all_text_contents()]
    holds(len(steps) >= 7 and "Watch until 90 L" in "".join(steps), steps)
    until(page, "document.querySelector('#told').textContent.startsWith('Step 1 of')")
    # A change begins with taking out what it brings.
    holds(re.match(r"Take 90\sL out of touch pool", text(page, NEXT)), text(page, NEXT))
    step(page)
    until(page, "document.querySelector('[data-press].next') !== null")
    marked = page.locator("[data-press].next")
    holds(marked.count() == 1, "the next step is marked on the drawing")
    pictured(page, path=FOLDER / "card-begun.png", full_page=True)
    pictured(other, path=FOLDER / "card-begun-phone.png", full_page=True)
    # This step by the drawing, the next by its button.
    first = text(page, NEXT)
    press(page, marked.get_attribute("data-press"))
    until(page, "(first) => document.querySelector('#steps li.next span').textContent !== first", arg=first)
    holds(page.locator("#word").is_hidden(), "the card's own step isn't asked about")
    step(page)
    # Something else: it is told, and put back.
    done = page.locator("#steps li.done").count()
    press(page, "valves.jet")
    until(page, "!document.querySelector('#beside').hidden || !document.querySelector('#word').hidden")
    if page.locator("#word").is_visible():
        holds("isn't the card's step" in text(page, "#says"), text(page, "#says"))
        pictured(page, path=FOLDER / "card-word.png")
        page.click("#anyway")
        until(page, "!document.querySelector('#beside').hidden")
    holds("jet is open" in text(page, "#beside-says"), text(page, "#beside-says"))
    until(other, "!document.querySelector('#beside').hidden")
    for own in (page, other):
        in_sight(own, "#beside")
        holds("harm" in text(own, "#beside-comes"), "what comes of it is told")
        holds(own.locator("[data-press].wrong").get_attribute("data-press") == "valves.jet", "it is marked")
    holds(text(page, "#beside-says") == text(other, "#beside-says"), "both see it")
    pictured(page, path=FOLDER / "card-beside.png", full_page=True)
    pictured(other, path=FOLDER / "card-beside-phone.png", full_page=True)
    page.click("#put-back")
    until(page, "document.querySelector('#beside').hidden")
    holds(page.locator("#steps li.done").count() == done, "nothing of the card is undone")
    # Once more, and gone on from there: the way is ordered anew.
    press(page, "valves.jet")
    until(page, "!document.querySelector('#beside').hidden || !document.querySelector('#word').hidden")
    if page.locator("#word").is_visible():
        page.click("#anyway")
        until(page, "!document.querySelector('#beside').hidden")
    page.click("#go-on")
    until(page, "document.querySelector('#beside').hidden")
    holds("Shut jet" in "".join(page.locator("#steps li").all_text_contents()), "it is shut again on the way")
    while text(page, "#do-step") == "Do it":
        step(page)
    holds(runs(page, "lines.pool-hose"), "water runs")
    for own in (page, other):
        figures_apart(own)
    page.check('input[name="speed"][value="600"]')
    until(page, "document.querySelector('#card-says').textContent.includes('Time waits for you')")
    holds(page.is_checked('input[name="speed"][value="0"]'), "time waits")
    pictured(page, path=FOLDER / "card-come.png", full_page=True)
    while page.locator("#do-step").count() > 0:
        step(page)
    until(page, "document.querySelector('#card-says').textContent.startsWith('Done')")
    until(other, "document.querySelector('#told').textContent.startsWith('Done')")
    holds(page.is_checked('input[name="speed"][value="600"]'), "time goes on at the pace that it had")
    page.check('input[name="speed"][value="1"]')
    holds(page.locator('[data-kind="valve"][aria-checked="true"]').count() == 0, "everything is shut")
    for own in (page, other):
        found = Axe().run(own, options=RULES).response["violations"]
        holds(not found, [(rule["id"], [node["html"] for node in rule["nodes"]][:3]) for rule in found])
        holds(own.evaluate("document.documentElement.scrollWidth <= innerWidth"), "nothing runs out to the side")
    pictured(other, path=FOLDER / "card-done-phone.png", full_page=True)
    # A card that is done doesn't say so of a valve that stands open.
    press(page, "valves.jet")
    until(page, "document.querySelector('#card-says').textContent.includes('jet is open')")
    holds("but not everything" in text(page, "#card-says"), text(page, "#card-says"))
    press(page, "valves.jet")
    until(page, "document.querySelector('#card-says').textContent === 'Done: everything stands as it does between tasks.'")
    page.click("#card-leave")
    until(other, "document.querySelector('#card').hidden")
    until(page, "!document.querySelector('#tasks').hidden && document.querySelector('#ending').hidden")


def beside_the_watch(page):
    """While one watches, something else is opened: what comes of it is told, the card's volume ends its water all the same,
    and whoever puts it back by the keyboard is led on."""
    page.click('[data-again="full"]')
    until(page, "document.querySelector('#record').textContent.startsWith('0 acts')")
    page.click('[data-card="touch-pool-change"]')
    in_hand(page)
    while text(page, "#do-step") == "Do it":
        step(page)
    page.check('input[name="speed"][value="10"]')
    until(page, "document.querySelector('polyline.runs[data-path=\"lines.pool-hose\"]') !== null")
    press(page, "valves.fresh-outlet")
    until(page, "!document.querySelector('#word').hidden")
    holds("thinned" in text(page, "#says") and "over the rim" in text(page, "#says"), text(page, "#says"))
    page.click("#anyway")
    until(page, "!document.querySelector('#beside').hidden")
    holds("thinned" in text(page, "#beside-comes"), text(page, "#beside-comes"))
    page.check('input[name="speed"][value="600"]')
    until(page, "document.querySelector('#card-says').textContent.includes('Time waits for you')")
    holds(not page.locator("#beside").is_hidden(), "it is still to be put back")
    stood = text(page, '[data-level="tanks.touch-pool"] span')
    holds("salinity 3" in stood and "over the rim" not in text(page, "#harm-says"), stood)
    pictured(page, path=FOLDER / "card-come-beside.png", full_page=True)
    page.locator("#put-back").focus()
    page.keyboard.press("Enter")
    until(page, "document.querySelector('#beside').hidden")
    until(page, "document.activeElement?.id === 'do-step'")
    while page.locator("#do-step").count() > 0:
        step(page)
    until(page, "document.querySelector('#card-says').textContent.startsWith('Done')")
    page.click("#card-leave")
    until(page, "document.querySelector('#told').textContent === 'The card is left.'")
    holds(page.locator("#steps li").count() == 0 and text(page, "#card-says") == "", "nothing of it is left for the next")
    holds(text(page, "#left") == "", text(page, "#left"))
    # Left amid its water: what runs on is said, until somebody acts. Time waits until no more comes.
    page.check('input[name="speed"][value="1"]')
    page.click('[data-card="tall-bucket"]')
    in_hand(page)
    while text(page, "#do-step") == "Do it":
        step(page)
    page.check('input[name="speed"][value="10"]')
    until(page, "document.querySelector('#card-says').textContent.includes('Time waits for you')")
    step(page)
    stood = text(page, "#time")
    page.wait_for_timeout(500)
    holds(text(page, "#time") == stood, "salt water still runs out by itself: time waits")
    step(page)
    until(page, "(stood) => document.querySelector('#time').textContent !== stood", arg=stood)
    holds("Pump tap" not in text(page, "#harm-says"), text(page, "#harm-says"))
    page.click("#card-leave")
    until(page, "document.querySelector('#left').textContent.includes('pump outlet is open')")
    press(page, "valves.pump-outlet")
    until(page, "document.querySelector('#left').textContent === ''")


def the_other_water(page):
    """The other vessel's valve in place of the card's: what comes is told before it is opened, and as long as it stands in
    the container."""
    page.click('[data-again="full"]')
    until(page, "document.querySelector('#record').textContent.startsWith('0 acts')")
    page.check('input[name="speed"][value="1"]')
    page.click('[data-card="tall-bucket"]')
    in_hand(page)
    for own in ["valves.fresh-outlet", "valves.pump-outlet", "valves.pump-spout"]:
        press(page, own)
        until(page, "!document.querySelector('#word').hidden || !document.querySelector('#beside').hidden")
    until(page, "!document.querySelector('#word').hidden")
    holds("where that of Salt is to be drawn" in text(page, "#says"), text(page, "#says"))
    page.click("#anyway")
    until(page, "document.querySelector('#word').hidden")
    page.check('input[name="speed"][value="10"]')
    # So much of it that what comes after it can't make it right again, however late the page is.
    until(page, "/^([2-9]|1\\d)[\\d.]*\\sL/.test(document.querySelector('[data-level=\"draw_points.pump-tap\"] span').textContent)")
    page.click("#put-back")
    until(page, "document.querySelector('#beside').hidden")
    while text(page, "#do-step") == "Do it":
        step(page)
    # Said while it comes, and after "Time waits for you" once all has come.
    until(page, "/There is .*: pour it away/.test(document.querySelector('#card-says').textContent)")
    page.click("#card-leave")
    until(page, "document.querySelector('#card').hidden")


def balanced(page):
    """Both sides of the balance come to the same sums, entry by entry as they are read, and it says that nothing is lost."""
    def side(name):
        rows = page.eval_on_selector_all(f'[data-side="{name}"] tbody tr',
                                         "(all) => all.map((own) => [...own.cells].map((cell) => cell.textContent))")
        return [[amount(said) for said in row[1:]] for row in rows]

    def amount(said):
        """In litres or kilograms; a dash is nothing."""
        if said == "–":
            return 0.0
        number, unit = re.fullmatch(r"([\d\s]+(?:\.\d+)?)\s(mL|L|kg|g|mg)", said).groups()
        return float(re.sub(r"\s", "", number)) * {"mL": 1e-3, "g": 1e-3, "mg": 1e-6}.get(unit, 1.0)

    (came, there) = side("came"), side("there")
    for column, what in enumerate(("water", "salt")):
        sums = [rows[-1][column] for rows in (came, there)]
        holds(sums[0] == sums[1] > 0, f"{what}: {sums}")
        for rows in (came, there):
            total = sum(row[column] for row in rows[:-1])
            # Each entry is rounded by itself.
            holds(abs(total - rows[-1][column]) < 0.005 * rows[-1][column] + 0.1, f"{what}: {rows}")
    holds("Nothing is lost" in text(page, "#balance-says"), text(page, "#balance-says"))


def left_alone(page):
    """A weekend passes: the air takes from a tank what the file says, the purifier fills and stops, power goes and comes."""
    page.click('[data-again="full"]')
    until(page, "document.querySelector('#time').textContent.startsWith('Friday')")
    page.check('input[name="speed"][value="0"]')
    page.click('[data-skip="230400"]')
    until(page, "document.querySelector('#skipped').textContent.startsWith('Skipped to Monday')")
    # By hand: the raceway's salt passes what its corals bear once a day's top-off is missed for the second time.
    harms = text(page, "#harms")
    holds("harm came of it" in text(page, "#skipped") and "Coral raceway saltier than it bears, for nobody tops it off" in harms
          and "Touch pool" not in harms, f"{text(page, '#skipped')} {harms}")
    # By hand: 9 L/day for 64 h are 24 L, of 900 L at 34.5, and the salt stays.
    pool = text(page, '[data-level="tanks.touch-pool"] span').replace("\u00a0", " ")
    holds(pool == "876 L, salinity 35.4, 24 L evaporated", pool)
    balanced(page)
    # By hand: all tanks together lose 23 L/day, 61.3 L in 64 h; the vessels have lids.
    air = page.locator('[data-side="there"] tr', has_text="into the air").locator("td").first.text_content()
    holds(61.3 <= float(re.match(r"[\d.]+", air)[0]) < 62, f"the air has it: {air}")
    page.click('[data-again="filling"]')
    until(page, "document.querySelector('#purifier').textContent.startsWith('makes ')")
    level = text(page, '[data-level="vessels.fresh"] span')
    # Without power it stands; with it, it goes on and stops at its mark.
    page.select_option("#break select", value="the power away for good")
    page.click("#break button")
    until(page, "document.querySelector('#purifier').textContent.startsWith('rests')")
    page.click('[data-skip="3600"]')
    until(page, "document.querySelector('#skipped').textContent.startsWith('Skipped to Friday')")
    holds(text(page, '[data-level="vessels.fresh"] span') == level, "nothing comes meanwhile")
    page.click("#faults button")
    until(page, "document.querySelectorAll('#faults li').length === 0")
    page.click('[data-skip="3600"]')
    until(page, "document.querySelector('#purifier').textContent.startsWith('makes ')")
    page.click('[data-skip="230400"]')
    until(page, "document.querySelector('#skipped').textContent.startsWith('Skipped to Monday')")
    holds(text(page, "#purifier").startswith("rests"), text(page, "#purifier"))
    level = text(page, '[data-level="vessels.fresh"] span').replace("\u00a0", " ")
    holds(level.startswith("880 mm"), f"it stops at its mark: {level}")


def put_in(page):
    """A record is kept, put in again and played; whatever is wrong with a file is told, and nothing is done."""
    acts = json.loads(json.dumps(page.evaluate("async () => (await fetch('/api/live/record')).json()")))["record"]
    with page.expect_download() as kept:
        page.click("#keep")
    file = FOLDER / "record.json"
    kept.value.save_as(file)
    whole = json.loads(file.read_text())
    holds(whole["format"] == 1 and whole["station"].startswith("Larkhaven") and whole["record"] == acts, whole)
    wrong = FOLDER / "wrong.json"

    def refused(content, says):
        wrong.write_text(content)
        page.set_input_files("#put-in", wrong)
        until(page, "(says) => document.querySelector('#put-in-says').textContent.includes(says)", arg=says)
        holds(len(acts) == len(page.evaluate("async () => (await fetch('/api/live/record')).json()")["record"]), says)

    refused("no record", "its text can't be read")
    refused(json.dumps({**whole, "format": 9}), "format 9")
    refused(file.read_text().replace('"pool"', '"moat"'), "no valve called moat")
    refused(" " * 300_000, "too large")
    pictured(page, path=FOLDER / "record-refused.png", full_page=True)
    refused(json.dumps({**whole, "station": "Attic"}), "made on another station: Attic")
    page.click("#anywhere")
    until(page, "document.querySelector('#put-in-says').textContent.includes('being played')")
    page.set_input_files("#put-in", file)
    until(page, "document.querySelector('#put-in-says').textContent.includes('record.json is being played')")
    page.check('input[name="speed"][value="600"]')
    until(page, f"document.querySelector('#record').textContent.startsWith('{len(acts)} acts')")
    holds(page.evaluate("async () => (await fetch('/api/live/record')).json()") == whole, "the same to the last act")
    # The browser's console tells of the refusals that were asked for.
    page.complaints = [said for said in page.complaints if "422" not in said and "409" not in said]


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
        pictured(page, path=FOLDER / "try-tap.png", full_page=True)
        press(page, "valves.fresh-spout")
        until(page, "document.querySelector('polyline.runs') === null")
        # A whole change, a transfer and a mix.
        for task in ["touch-pool-change", "touch-pool-change", "fresh-to-salt"]:
            begun(page, task)
            if task == "fresh-to-salt":
                page.wait_for_timeout(2000)
                pictured(page, path=FOLDER / "try-transfer.png", full_page=True)
            ended(page)
        page.fill('#salt input[name="mass"]', "2")
        page.click("#salt button")
        begun(page, "mix")
        until(page, "document.querySelector('polyline.runs[data-path=\"lines.mixing-jet\"]') !== null")
        pictured(page, path=FOLDER / "try-mix.png", full_page=True)
        ended(page)
        paced(page, other)
        page.wait_for_timeout(500)
        same = ["#time", "#balance", '[data-level="vessels.salt"] span', "#record"]
        holds([text(page, own) for own in same] == [text(other, own) for own in same], "two who look see the same")
        balanced(page)
        # A fault in and out.
        parts = page.eval_on_selector_all("#break optgroup", "(all) => all.map((own) => own.label)")
        holds(parts[:2] == ["Fresh", "Salt"] and "Bracket" in parts, f"faults stand by their part: {parts}")
        page.select_option('#break select', index=3)
        page.click("#break button")
        until(page, "document.querySelectorAll('#faults li').length === 1")
        page.click("#faults button")
        until(page, "document.querySelectorAll('#faults li').length === 0")
        record = page.evaluate("async () => (await fetch('/api/live/record')).json()")
        holds(len(record["record"]) >= 7, json.dumps(record))
        at = text(page, "#time")
        page.click("#play")
        until(page, "document.querySelector('#record').textContent.includes('being played')")
        page.click('[data-skip="230400"]')
        until(page, f"document.querySelector('#record').textContent.startsWith('{len(record['record'])} acts')")
        holds(at != text(page, "#time"), "it went on from the beginning")
        pictured(other, path=FOLDER / "try-phone-dark.png", full_page=True)
        left_alone(page)
        harmed(page, other)
        followed(page, other)
        beside_the_watch(page)
        put_in(page)
        the_other_water(page)
        for own in (page, other):
            found = Axe().run(own, options=RULES).response["violations"]
            holds(not found, [(rule["id"], [node["html"] for node in rule["nodes"]][:3]) for rule in found])
            holds(own.evaluate("document.documentElement.scrollWidth <= innerWidth"), "nothing runs out to the side")
            holds(not own.complaints, own.complaints)
        browser.close()
    print("try it: all as it should be")


if __name__ == "__main__":
    main()
