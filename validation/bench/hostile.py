"""A page of somebody else in the same browser, against the workbench: it reads nothing, writes nothing, frames nothing, hears
nothing, loads nothing, and neither does a name that was turned to this machine.

    python hostile.py BRINEWRIGHT FOLDER

It is served from another port of this machine: once under the workbench's own name, once under another (browsers tell the
two apart as sites). The workbench's own page tries the same, so that each way is known to lead somewhere where it may.
Ends with an error at the first thing that isn't so.
"""
import socket
import sys
import threading
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

from playwright.sync_api import Error, sync_playwright

from common import STATIONS, Bench, holds, pictured, started

PROGRAM, FOLDER = (Path(own).resolve() for own in sys.argv[1:3])
# A name that anybody may point anywhere (RFC 2606); here it is this machine, as an attacker's own would be.
TURNED = "turned.example"
FIRST = '{"revision":1,"width_mm":190,"edits":[{"path":"reserve.salt","text":"SAID"}]}'

# Each way, what a page gains by it: what it read or heard, or "" for nothing.
WAYS = """async ([base, change]) => {
  const gained = {};
  const patience = (what) => Promise.race([what, new Promise((go) => setTimeout(() => go(''), 1500))]);
  const text = async (answer) => (answer.type === 'opaque' ? '' : (await answer.text()).slice(0, 60));
  const asked = (path, how) => fetch(base + path, { credentials: 'include', ...how }).then(text, () => '');
  for (const path of ['', 'edit', 'needs', 'api/text', 'api/view?width_mm=190', 'api/proof', 'api/live/record', 'file/page.html']) {
    gained[`reads /${path}`] = await asked(path);
    gained[`reads /${path} without leave`] = await asked(path, { mode: 'no-cors' });
  }
  const json = { 'content-type': 'application/json' };
  for (const path of ['api/change', 'api/try', 'api/undo', 'api/live/act', 'api/work/begin']) {
    const post = { method: 'POST', body: change };
    gained[`writes /${path} as text`] = await asked(path, { ...post, mode: 'no-cors', headers: { 'content-type': 'text/plain' } });
    gained[`writes /${path} as a form`] = await asked(path, { ...post, mode: 'no-cors', body: new URLSearchParams({ revision: 1 }) });
    gained[`writes /${path} as JSON`] = await asked(path, { ...post, headers: json });
    gained[`writes /${path} as JSON without leave`] = await asked(path, { ...post, mode: 'no-cors', headers: json });
  }
  gained['writes as it leaves'] = (navigator.sendBeacon(base + 'api/change', new Blob([change], { type: 'text/plain' })), '');
  const tag = (name, set) => patience(new Promise((go) => {
    const own = Object.assign(document.createElement(name), set);
    own.onload = () => go('loaded');
    own.onerror = () => go('');
    document.body.append(own);
  }));
  for (const path of ['look/bench.js', 'look/ask.js', 'api/text', 'api/view?width_mm=190']) {
    gained[`runs /${path}`] = await tag('script', { src: base + path });
    gained[`runs /${path} as a module`] = await tag('script', { type: 'module', src: base + path });
  }
  for (const path of ['favicon.ico', 'file/elevation.svg', 'file/elevation.png']) {
    gained[`shows /${path}`] = await tag('img', { src: base + path });
  }
  gained['takes the look'] = await tag('link', { rel: 'stylesheet', href: base + 'look/style.css' });
  for (const path of ['api/events', 'api/live/stream']) {
    gained[`hears /${path}`] = await patience(new Promise((go) => {
      const own = new EventSource(base + path, { withCredentials: true });
      for (const name of ['message', 'news', 'now']) own.addEventListener(name, ({ data }) => go(data.slice(0, 60)));
      own.onerror = () => go('');
    }));
  }
  return gained;
}"""
# What the workbench's own page gains by the same ways: reading, writing as it should be written, running, showing, hearing.
OURS = ["reads /api/text", "reads /", "writes /api/try as JSON", "runs /look/ask.js as a module", "shows /favicon.ico",
        "takes the look", "hears /api/events", "hears /api/live/stream"]
# A form needs no script and no leave: what it sends as text is a whole change.
FORM = """([base, path, change, target]) => {
  const form = Object.assign(document.createElement('form'), { action: base + path, method: 'POST', enctype: 'text/plain', target });
  const cut = change.length - 1;
  const field = Object.assign(document.createElement('input'), { name: change.slice(0, cut) + ',"also":"', value: '"}' });
  form.append(field);
  document.body.append(form);
  form.submit();
}"""
FRAME = """([src, kind]) => new Promise((go) => {
  const own = document.createElement(kind);
  own.name = 'held';
  own.onload = own.onerror = () => go();
  setTimeout(go, 500);
  own[kind === 'object' ? 'data' : 'src'] = src;
  document.body.append(own);
})"""


class Page(BaseHTTPRequestHandler):
    """An empty page that forbids itself nothing."""

    def do_GET(self):
        body = b"<!doctype html><title>elsewhere</title><iframe name='sink'></iframe>"
        self.send_response(200)
        self.send_header("content-type", "text/html")
        self.send_header("content-length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, *_):
        pass


def same(page, bench, before, record, what):
    """Nothing was changed: not the file, not what the workbench has, not the live station."""
    holds(bench.file.read_bytes() == before, f"{what}: the file is the same to the byte")
    got = page.request.get(bench.address + "api/text").json()
    holds(got["revision"] == 1 and got["text"].encode() == before, f"{what}: nothing was taken in")
    holds(page.request.get(bench.address + "api/live/record").json() == record, f"{what}: nothing was done at the live station")


def framed(page, bench, what):
    """No frame of it shows a page of the workbench, whatever it is made with."""
    for path in ["", "try-it", "api/text"]:
        for kind in ["iframe", "embed", "object"]:
            page.evaluate(FRAME, [bench.address + path, kind])
            for own in page.frames[1:]:
                try:
                    shown = own.evaluate("document.documentElement.innerText")
                except Error:
                    # A page of the browser's own, which nobody may look into.
                    continue
                holds("Larkhaven" not in shown, f"{what}: /{path} in an {kind}: {shown[:60]}")
            page.evaluate("document.querySelectorAll('iframe:not([name=sink]), embed, object').forEach((own) => own.remove())")


def arrived(page, bench, what):
    """In a tab of its own it arrives, as by a link, and whoever opened it can't look into it."""
    with page.expect_popup() as opened:
        page.evaluate("(base) => { window.held = window.open(base); }", bench.address)
    opened.value.wait_for_selector("#drawing .grip")
    seen = page.evaluate("""() => {
        try { return window.held.document.title; } catch { return window.held.closed ? '' : `${window.held.length} frames`; }
    }""")
    holds(seen == "", f"{what}: it holds what it opened: {seen}")
    holds(opened.value.evaluate("window.opener === null"), f"{what}: and is held")
    opened.value.close()


def attacked(browser, bench, origin, before):
    """Everything that a page can try without the help of whoever looks at it."""
    page = browser.new_page()
    page.goto(origin)
    record = page.request.get(bench.address + "api/live/record").json()
    gained = {way: got for way, got in page.evaluate(WAYS, [bench.address, FIRST.replace("SAID", "1 gal")]).items() if got}
    holds(not gained, f"{origin} gains {gained}")
    same(page, bench, before, record, f"{origin} asks")
    for path in ["api/change", "api/undo", "api/live/again", "api/live/act", "api/begin/write"]:
        for target in ["sink", "_blank"]:
            page.evaluate(FORM, [bench.address, path, FIRST.replace("SAID", "1 gal"), target])
            page.wait_for_timeout(120)
    same(page, bench, before, record, f"{origin} sends forms")
    framed(page, bench, origin)
    arrived(page, bench, origin)
    same(page, bench, before, record, f"{origin} frames and opens")
    pictured(page, path=FOLDER / "hostile.png")
    page.context.close()


def turned(browser, bench):
    """Under a name that was turned to this machine it is the same origin to the browser, and is still not answered."""
    page = browser.new_page()
    answer = page.goto(bench.address.replace("127.0.0.1", TURNED))
    holds(answer.status == 421 and "Larkhaven" not in page.content(), f"a name turned here: {answer.status}")
    got = page.evaluate("(path) => fetch(path).then(async (own) => own.status + (await own.text()))", "/api/text")
    holds(got.startswith("421") and "Larkhaven" not in got, f"and what it asks for: {got[:80]}")
    page.context.close()


def ours(browser, bench):
    """The workbench's own page comes along the same ways, where it may."""
    page = browser.new_page()
    page.goto(bench.address)
    gained = page.evaluate(WAYS, [bench.address, FIRST.replace("SAID", "31 gal")])
    nothing = [way for way in OURS if not gained[way]]
    holds(not nothing, f"the workbench itself gains nothing by {nothing}")
    holds('salt = "31 gal"' in bench.text(), "it writes")
    page.context.close()


def cut_off(browser):
    """Where the machine's network can't be cut, the browser's is: it gets to no other address, and to no name."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
        try:
            # An address for documents (RFC 5737): nothing is sent there, but it tells which of our own would be taken.
            asked.connect(("192.0.2.1", 9))
            outside = asked.getsockname()[0]
        except OSError:
            outside = "192.0.2.1"
    answers = ThreadingHTTPServer(("", 0), Page)
    threading.Thread(target=answers.serve_forever, daemon=True).start()
    page = browser.new_page()
    page.goto(f"http://127.0.0.1:{answers.server_port}/")
    holds(page.title() == "elsewhere", "it gets to the loopback")
    for place in [outside, "elsewhere.example"]:
        try:
            page.goto(f"http://{place}:{answers.server_port}/")
            failed = "no: it got there"
        except Error as error:
            failed = str(error)
        holds("ERR_PROXY_CONNECTION_FAILED" in failed, f"it doesn't get to {place}: {failed}")
    answers.shutdown()
    page.context.close()


def main():
    FOLDER.mkdir(parents=True, exist_ok=True)
    before = (STATIONS / "larkhaven.toml").read_bytes()
    elsewhere = ThreadingHTTPServer(("127.0.0.1", 0), Page)
    threading.Thread(target=elsewhere.serve_forever, daemon=True).start()
    with sync_playwright() as tools, Bench(PROGRAM, "larkhaven") as bench:
        browser = started(tools, TURNED)
        cut_off(browser)
        for name in ["127.0.0.1", "localhost"]:
            attacked(browser, bench, f"http://{name}:{elsewhere.server_port}/", before)
        turned(browser, bench)
        ours(browser, bench)
        browser.close()
    elsewhere.shutdown()
    print("a hostile page gains nothing")


if __name__ == "__main__":
    main()
