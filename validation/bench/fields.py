"""Every field of the file, in a real browser; called by check.py.

Numbers, text, names of parts, each word that can be chosen, yes and no: what the reader takes is saved, the file differs in
that value alone, and the page shows it when it is asked for anew; what it doesn't take is told beside the field, and nothing
is kept. Everything is taken back to the byte.
"""
import os
import re
import tomllib

from common import apart, differing, holds, quiet, until, values, watched

# Sets a field as somebody who leaves it; tells what came of it ("" where it is saved), and what a page that is asked for
# anew shows. The page itself must come to show the same.
SET = """async ([path, value]) => {
  const here = () => document.querySelector(`[data-path="${path}"]`);
  const fault = () => document.getElementById(`${here().id}-fault`).textContent;
  const told = document.getElementById('told');
  const end = performance.now() + 60000;
  const until = async (so) => {
    while (!so()) {
      if (performance.now() > end) throw new Error(`nothing came of ${path} = ${value}: ${told.textContent}, ${fault()}`);
      await new Promise((go) => setTimeout(go, 5));
    }
  };
  told.textContent = '';
  here().value = value;
  here().dispatchEvent(new Event('change', { bubbles: true }));
  await until(() => told.textContent === 'saved' || fault() !== '');
  if (fault() !== '') return [fault(), ''];
  const anew = new DOMParser().parseFromString(await (await fetch('/edit')).text(), 'text/html');
  const shown = anew.querySelector(`[data-path="${path}"]`).value;
  await until(() => here()?.value === shown);
  return ['', shown];
}"""
# What was refused is typed back: nothing is wrong any more.
LEAVE = """async ([path, value]) => {
  const own = document.querySelector(`[data-path="${path}"]`);
  own.value = value;
  own.dispatchEvent(new Event('change', { bubbles: true }));
  while (own.isConnected && document.querySelector('[aria-invalid]')) await new Promise((go) => setTimeout(go, 5));
}"""
FIELDS = """() => [...document.querySelectorAll('#forms [data-path]')].map((own) => ({
  path: own.dataset.path, value: own.value, table: own.tagName === 'TEXTAREA', decides: 'decides' in own.dataset,
  words: own.tagName === 'SELECT' ? [...own.options].map((one) => one.value).filter((one) => one !== '') : null,
  names: own.list ? [...own.list.options].map((one) => one.value) : null,
}))"""


def kind(path):
    """The same field of every vessel, line, valve is one kind."""
    parts = path.split(".")
    return (parts[0], len(parts), parts[-1])


def others(own):
    """Other values of a field: every word, another name, other text, a number with one digit more."""
    value = own["value"]
    if own["words"] is not None:
        return [word for word in own["words"] if word != value]
    if own["names"] and value in own["names"] and len(own["names"]) > 1:
        return [own["names"][own["names"].index(value) - 1]]
    longer = re.sub(r"^(-?\d+)(\.\d+)?(?![\d.:])(?! \d+/)(?! [A-Z])", lambda own: own[1] + (own[2] or ".") + "0", value, count=1)
    return [longer if longer != value else f"{value} too"]


def tried(page, bench, own, wanted):
    """A field set to one value after the other, and back; how many of them the reader took."""
    before, path = bench.text(), own["path"]
    stands, text, taken = own["value"], before, 0
    for value in wanted:
        fault, shown = page.evaluate(SET, [path, value])
        now = bench.text()
        if fault:
            holds(fault.startswith("Not saved. ") and len(fault) > 20, f"{path}: it is told why: {fault}")
            holds(now == text, f"{path}: what is refused isn't kept")
            page.evaluate(LEAVE, [path, stands])
            continue
        lines, changed = differing(before, now), apart(before, now)
        holds(set(changed) <= {path}, f"{path}: that value alone: {changed}")
        holds(len(lines) == 1 and now != text, f"{path}: its line alone: {lines}")
        filed = dict(values(tomllib.loads(now)))[path]
        # A number without a unit is one in the file.
        said = str(filed).lower() if isinstance(filed, bool) else filed if isinstance(filed, str) else value
        holds(said == value and shown == value, f"{path}: {value} stands as {filed} and is shown as {shown}")
        stands, text, taken = value, now, taken + 1
    if taken:
        page.evaluate(SET, [path, own["value"]])
    holds(bench.text() == before, f"{path}: it is taken back to the byte")
    return taken


def as_filed(page, bench):
    """After the page is loaded anew, every field shows what is in the file."""
    page.reload()
    until(page, "document.querySelector('#forms [data-path]') !== null")
    shown = {own["path"]: own["value"] for own in page.evaluate(FIELDS)}
    for path, value in values(tomllib.loads(bench.text())):
        if isinstance(value, (str, bool)):
            said = str(value).lower() if isinstance(value, bool) else value
            holds(shown.get(path) == said, f"{path}: {said} is shown as {shown.get(path)}")


def fields(browser, bench, share=1):
    """Fields that say something, one after the other. Of Larkhaven, whose numbers forms.py writes, of each kind the first with
    every word that it can be; of another station one in so many, with one word in turn. With EVERY in the environment all of
    them, with every word."""
    page = watched(browser, bench, viewport={"width": 1200, "height": 900})
    page.goto(bench.address + "edit")
    first, seen, tries, taken = bench.text(), set(), 0, 0
    every = "EVERY" in os.environ
    # The choice of a shape brings fields of its own, and tables are typed as lines: forms.py.
    said = [own for own in page.evaluate(FIELDS) if own["value"] and not own["decides"] and not own["table"]]
    for at, own in enumerate(said):
        wanted, is_new = others(own), kind(own["path"]) not in seen
        seen.add(kind(own["path"]))
        if not every and share == 1 and (not is_new or own["value"][0].isdigit()):
            continue
        if not every and share > 1:
            wanted = [] if at % share else [wanted[at // share % len(wanted)]]
        tries += len(wanted)
        taken += tried(page, bench, own, wanted)
    holds(bench.text() == first, "all of it is taken back to the byte")
    holds(tries / 3 < taken < tries, f"{taken} of {tries} were saved, the others refused")
    page.evaluate(SET, ["note", "Another note."])
    as_filed(page, bench)
    page.evaluate(SET, ["note", dict(values(tomllib.loads(first)))["note"]])
    holds(bench.text() == first, "and that as well")
    # What was refused on purpose stands in the console.
    page.complaints = [own for own in page.complaints if "422" not in own]
    quiet(page, "every field")
    page.close()
    print(f"{taken} values of {tries} were saved and read back, the others refused beside their fields")
