"""What the checks of the workbench share: a copy of an example that is served, a browser, waiting, and the first thing
that isn't so."""
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time
import tomllib
import traceback
from pathlib import Path

STATIONS = Path(__file__).resolve().parents[2] / "stations"
EXAMPLES = ["larkhaven", "juniper-street-school", "skelder-hatchery"]
RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"], "resultTypes": ["violations"]}
FLAGS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
]

# The port of the discard protocol (RFC 863), at which nobody answers.
NOBODY = 9


def holds(true, what):
    if not true:
        sys.exit(f"not so: {what}")


class Bench:
    """A copy of an example on the workbench, or the demo where none is named, started in a folder of its own; it must stop
    cleanly, streams open or not."""

    def __init__(self, program, name=None):
        self.folder = tempfile.TemporaryDirectory()
        self.file = Path(self.folder.name) / "station.toml"
        if name:
            shutil.copy(STATIONS / f"{name}.toml", self.file)
        self.begin([program, "open", *([self.file] if name else []), "--port", "0", "--no-browser"])

    def begin(self, command, **how):
        self.process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True, cwd=self.folder.name, **how)
        self.address = self.process.stdout.readline().strip()
        holds(re.fullmatch(r"http://127\.0\.0\.1:\d+/", self.address), f"an address: {self.address}")

    def text(self):
        return self.file.read_text()

    def write(self, text):
        """As an editor saves it: whole or not at all."""
        fresh = self.file.with_suffix(".new")
        fresh.write_text(text)
        fresh.replace(self.file)

    def __enter__(self):
        return self

    def end(self):
        self.process.send_signal(signal.SIGINT)
        return self.process.wait(10)

    def __exit__(self, kind, *_):
        ended = self.end()
        self.folder.cleanup()
        if kind is None:
            holds(ended == 0, "it stops cleanly, with streams open")


def started(tools, *here, flags=()):
    """The browser: it finds no name but this machine's, and what it asks of any other goes to a port where nobody is. Names
    that are this machine as well may be given."""
    own = ["127.0.0.1", "localhost"]
    ways = [
        f"--host-resolver-rules={', '.join(f'MAP {name} 127.0.0.1' for name in here)}{', ' if here else ''}MAP * ~NOTFOUND , "
        + " , ".join(f"EXCLUDE {name}" for name in own),
        f"--proxy-server=http://127.0.0.1:{NOBODY}", f"--proxy-bypass-list={';'.join([*own, *here])}",
    ]
    return tools.chromium.launch(executable_path=shutil.which("chromium"), args=[*FLAGS, *ways, *flags])


def watched(browser, bench, **how):
    """A page whose complaints, and whose requests to any other machine, are noted."""
    page = browser.new_page(**how)
    # Nothing here judges how quick it is: a busy machine may take its time.
    page.set_default_timeout(120_000)
    page.complaints, page.strange, page.answered = [], [], []
    page.on("console", lambda said: page.complaints.append(said.text))
    page.on("pageerror", lambda error: page.complaints.append(str(error)))
    page.on("requestfinished", lambda request: page.answered.append(request))

    def asked(request):
        if not request.url.startswith((bench.address, "data:", "blob:")):
            page.strange.append(request.url)

    page.on("request", asked)
    return page


def until(page, script, arg=None, seconds=90):
    """Until a script says something true. The page's policy forbids what the library would poll with."""
    end = time.monotonic() + seconds
    while not page.evaluate(script if script.startswith("(") else f"() => {script}", arg):
        holds(time.monotonic() < end, f"it never came about: {script} {arg or ''}")
        page.wait_for_timeout(40)


def opened(browser, bench, **how):
    """The first page, with everything looked at."""
    page = watched(browser, bench, **how)
    page.goto(bench.address)
    ready(page)
    return page


def ready(page):
    """Everything is looked at, and kept."""
    until(page, "document.querySelector('#state').textContent === 'saved'")


def kept(page, act):
    """Does something, and waits until it is kept and looked at."""
    revision = page.evaluate("document.querySelector('#drawing').dataset.revision")
    act()
    until(page, "(old) => document.querySelector('#drawing').dataset.revision !== old", arg=revision)
    ready(page)


def grip(page, path):
    return page.locator(f'.grip[data-handle="{path}"]')


def pictured(page, path, **how):
    """A picture, to be looked at. On a busy machine a browser can't always take one at once."""
    # Not everything that shares this drives a browser.
    from playwright.sync_api import Error as PlaywrightError

    for left in (2, 1, 0):
        try:
            return page.screenshot(path=path, **how)
        except PlaywrightError:
            if left == 0:
                raise
            page.wait_for_timeout(500)


def quiet(page, what):
    holds(not page.complaints, f"{what}: {page.complaints}")
    holds(not page.strange, f"{what}: {page.strange}")


def leads_to_its_values(page, label):
    """Something on a drawing is pressed, and leads to what the file says of it; then back."""
    path = label.get_attribute("data-path")
    label.click()
    page.wait_for_url("**/edit#**")
    until(page, "(path) => document.getElementById('at-' + path)?.open", arg=path)
    page.go_back()
    ready(page)


# What moves by itself on a page, or would once something changes.
MOVING = """() => {
    const seconds = (said) => said.split(',').some((own) => parseFloat(own) > 0);
    const moves = (style) => style.animationName !== 'none' || seconds(style.transitionDuration) || style.scrollBehavior === 'smooth';
    const all = [...document.querySelectorAll('*')].filter((own) =>
        [null, '::before', '::after', '::marker'].some((part) => moves(getComputedStyle(own, part))));
    return [...document.getAnimations().map((own) => own.constructor.name),
            ...all.map((own) => `${own.tagName.toLowerCase()}.${own.getAttribute('class') ?? ''}`)];
}"""


def still(page, what):
    """Nothing moves by itself: whoever asked for less motion gets none."""
    moving = page.evaluate(MOVING)
    holds(not moving, f"{what}: it moves: {moving[:5]}")


def differing(before, after):
    """The lines that differ, in pairs."""
    before, after = before.splitlines(), after.splitlines()
    holds(len(before) == len(after), "no line comes or goes")
    return [(a, b) for a, b in zip(before, after) if a != b]


def values(table, at=""):
    """Every value of a station by its path; a list is one."""
    for key, own in table.items():
        path = f"{at}.{key}" if at else key
        yield from values(own, path) if isinstance(own, dict) else [(path, own)]


def apart(before, after):
    """The values that differ, by their paths: as they were, and as they are."""
    old, new = (dict(values(tomllib.loads(text))) for text in (before, after))
    return {path: (old.get(path), new.get(path)) for path in old | new if old.get(path) != new.get(path)}


def written(page, bench, so):
    """Waits until the file is so."""
    end = time.monotonic() + 30
    while not so(bench.text()):
        if time.monotonic() > end:
            traceback.print_stack()
            print(bench.text(), file=sys.stderr)
        holds(time.monotonic() < end, "the file is written")
        page.wait_for_timeout(40)


# Answers to some addresses come late.
LATE = """([of, ms]) => {
    window.quick = window.fetch;
    window.fetch = async (...asked) => {
        const answer = await window.quick(...asked);
        if (String(asked[0]).startsWith(of)) await new Promise((go) => setTimeout(go, ms));
        return answer;
    };
}"""
