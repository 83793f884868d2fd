"""What the checks of the workbench share: a copy of an example that is served, a browser, waiting, and the first thing
that isn't so."""
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time
import traceback
from pathlib import Path

STATIONS = Path(__file__).resolve().parents[2] / "stations"
EXAMPLES = ["larkhaven", "juniper-street-school", "skelder-hatchery"]
RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"], "resultTypes": ["violations"]}
FLAGS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
]


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
        command = [program, "open", *([self.file] if name else []), "--port", "0", "--no-browser"]
        self.process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True, cwd=self.folder.name)
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

    def __exit__(self, kind, *_):
        self.process.send_signal(signal.SIGINT)
        ended = self.process.wait(10)
        self.folder.cleanup()
        if kind is None:
            holds(ended == 0, "it stops cleanly, with streams open")


def started(tools):
    """The browser."""
    return tools.chromium.launch(executable_path=shutil.which("chromium"), args=FLAGS)


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


def differing(before, after):
    """The lines that differ, in pairs."""
    before, after = before.splitlines(), after.splitlines()
    holds(len(before) == len(after), "no line comes or goes")
    return [(a, b) for a, b in zip(before, after) if a != b]


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
