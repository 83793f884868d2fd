"""Looks at what `brinewright prove --out` writes, with programs that know nothing of it.

    python check.py BRINEWRIGHT FOLDER

Poppler reads the PDF (fonts, text, bookmarks, the scale of the drawing in the file's own coordinates), a browser opens
the page at three widths, by day, by night and in print, and audits it with axe-core, an XML parser holds the drawings
against the W3C's document type of SVG 1.1, and the browser draws each SVG anew to compare it with the PNG.
Pictures of everything stay in FOLDER, to be looked at. Ends with an error at the first thing that isn't so.
"""
import json
import os
import re
import subprocess
import sys
from pathlib import Path

from axe_playwright_python.sync_playwright import Axe
from lxml import etree
from PIL import Image, ImageChops, ImageFilter
from playwright.sync_api import sync_playwright

ROOT = Path(__file__).resolve().parents[2]
sys.path.append(str(ROOT / "validation" / "bench"))
from common import pictured
STATIONS = ["larkhaven", "juniper-street-school", "skelder-hatchery"]
PAPERS = {"a4": (595.276, 841.89), "letter": (612.0, 792.0)}
PT_MM = 72 / 25.4


def run(*command):
    """What a program prints."""
    return subprocess.run([str(part) for part in command], check=True, capture_output=True).stdout


def holds(true, what):
    if not true:
        sys.exit(f"not so: {what}")


def plain(text):
    """Text with every blank alike, and none where lines were broken."""
    return re.sub(r"\s+", " ", text.replace("\u00a0", " ").replace("\f", " ")).strip()


def printable(text):
    """As the typeface has it: see `font.rs`."""
    # The family has no micro sign; `u` is what stands for it where there is none (ISO 2955, from memory).
    for odd, own in {"µ": "u", "→": "->", "−": "-"}.items():
        text = text.replace(odd, own)
    return text


# ---- PDF -------------------------------------------------------------------

def check_pdf(name, paper, folder, proof):
    file = folder / "sheets.pdf"
    fonts = run("pdffonts", file).decode().splitlines()[2:]
    holds(len(fonts) == 2, f"{name}: two weights, not {fonts}")
    for font in fonts:
        embedded, subset, unicode = font.split()[-5:-2]
        holds((embedded, subset, unicode) == ("yes", "yes", "yes"), f"{name}: {font}")
    info = run("pdfinfo", file).decode()
    pages = int(re.search(r"Pages:\s+(\d+)", info).group(1))
    size = [float(part) for part in re.search(r"Page size:\s+([\d.]+) x ([\d.]+)", info).groups()]
    holds(all(abs(a - b) < 0.5 for a, b in zip(size, PAPERS[paper])), f"{name}: {paper} is {size}")
    holds(proof["title"] in info, f"{name}: its title")

    texts = [run("pdftotext", "-f", page, "-l", page, file, "-").decode() for page in range(1, pages + 1)]
    for at, text in enumerate(texts):
        holds(f"page {at + 1} of {pages}" in plain(text), f"{name}: page {at + 1} of {pages}")
        holds(proof["title"] in plain(text), f"{name}: title on page {at + 1}")
    # A sentence may run over a page's end, with its foot and head between.
    everything = plain(" ".join(texts))
    for finding in proof["findings"]:
        words = plain(printable(finding["sentence"]))
        holds(words in everything or tail(words, everything), f"{name}: {words}")
    holds(plain(proof["verdict"]) in everything, f"{name}: its verdict")
    outline = run("pdftohtml", "-xml", "-stdout", "-i", file).decode()
    marks = re.findall(r"<item page=\"(\d+)\">([^<]*)</item>", outline)
    titles = [title for _, title in marks]
    for wanted in ["Verdict", "Figures", "Charts", "Methods", "Sources", "Caution"]:
        holds(wanted in titles, f"{name}: bookmark {wanted} among {titles}")
    for page, title in marks:
        if title != "Verdict":
            holds(title in texts[int(page) - 1], f"{name}: {title} on page {page}")
    heads_repeat(name, texts)
    margins(name, file, size)
    scale(name, file, texts[0], proof)
    run("pdftoppm", "-r", 90, "-png", file, folder / "sheet")


def tail(words, everything):
    """Whether all its words follow each other in two parts."""
    parts = words.split(" ")
    return any(
        " ".join(parts[:cut]) in everything and " ".join(parts[cut:]) in everything
        for cut in range(1, len(parts))
    )


def heads_repeat(name, texts):
    """A month's row stands below the head of its table, on whatever page."""
    for at, text in enumerate(texts):
        lines = [line.strip() for line in text.splitlines()]
        rows = [line for line in lines if line in ("January", "May", "June", "July", "August", "September")]
        if len(rows) > 1:
            holds("month" in lines, f"{name}: the head of the months on page {at + 1}")


def margins(name, file, size):
    """Every word within the margins, and none on another."""
    boxes = run("pdftotext", "-bbox", file, "-").decode()
    for page in boxes.split("<page ")[1:]:
        words = [
            tuple(float(part) for part in found[:4]) + (found[4],)
            for found in re.findall(
                r'<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*?)</word>', page
            )
        ]
        for left, top, right, foot, word in words:
            inside = left > 14 * PT_MM and right < size[0] - 14 * PT_MM and top > 8 * PT_MM and foot < size[1] - 6 * PT_MM
            holds(inside, f"{name}: {word} stands in the margin")
        # From the top down: what begins under a word's foot can't lie on it.
        words.sort(key=lambda word: word[1])
        for at, (a, b, c, d, word) in enumerate(words):
            # The boxes are those of whole lines: their middles must not lie in each other.
            for e, f, g, h, other in words[at + 1:]:
                if f >= d:
                    break
                across = min(c, g) - max(a, e)
                down = min(d, h) - max(b, f)
                if across >= 0.5 and down >= 0.45 * min(d - b, h - f):
                    sys.exit(f"not so: {name}: {word} lies on {other}")


def scale(name, file, first_page, proof):
    """The vessels' height on the paper, in the file's own coordinates, against the height that was proved."""
    said = re.search(r"1:(\d+)", first_page)
    holds(said, f"{name}: a scale on the first page")
    # What a path says is in points of the file; how the picture is then fitted to a screen stands in its transform.
    picture = etree.fromstring(run("pdftocairo", "-svg", "-f", 1, "-l", 1, file, "-"))
    heights = []
    for path in picture.iter("{http://www.w3.org/2000/svg}path"):
        width = re.search(r"stroke-width:([\d.]+)", path.get("style") or "")
        # Objects are drawn 0.5 mm wide.
        if width is None or abs(float(width.group(1)) - 0.5 * PT_MM) > 0.02:
            continue
        ys = [float(y) for _, y in re.findall(r"[ML] ([-\d.]+) ([-\d.]+)", path.get("d"))]
        heights.append((max(ys) - min(ys)) / PT_MM)
    holds(heights, f"{name}: heavy lines on the first page")
    for vessel in proof["levels"]["vessels"]:
        wanted = vessel["height_m"] * 1000 / int(said.group(1))
        near = min(abs(height - wanted) for height in heights)
        # The coordinates are told to a thousandth of a point or so.
        holds(near < 0.02, f"{name}: {vessel['name']} is {wanted:.2f} mm high at 1:{said.group(1)}, not {heights}")


# ---- SVG and PNG ------------------------------------------------------------

def document_type():
    for root in ["/usr/share/xml/w3c-sgml-lib", "/usr/share/xml"]:
        for found in Path(root).rglob("svg11-flat.dtd"):
            return etree.DTD(str(found))
        for found in Path(root).rglob("svg11.dtd"):
            return etree.DTD(str(found))
    sys.exit("the W3C's document type of SVG 1.1 isn't on this machine: install w3c-sgml-lib")


def check_svg(name, folder, kind):
    for file in sorted(folder.glob("*.svg")):
        drawing = etree.parse(str(file)).getroot()
        # Attributes that are younger than SVG 1.1.
        for element in drawing.iter():
            for young in [key for key in element.attrib if key in ("role", "font-kerning") or key.startswith("data-")]:
                del element.attrib[young]
        drawing.set("version", "1.1")
        valid = kind.validate(drawing)
        holds(valid, f"{name}: {file.name}: {kind.error_log.filter_from_errors()}")


def check_png(name, folder, browser):
    """The browser draws the SVG, with the typeface that it carries, over the picture's pixels; they differ at edges alone."""
    for file in sorted(folder.glob("*.svg")):
        picture = Image.open(file.with_suffix(".png")).convert("RGB")
        width, height = picture.size
        page = browser.new_page(viewport={"width": width, "height": height})
        markup = file.read_text().replace("<svg ", f'<svg style="width:{width}px;height:{height}px;display:block" ', 1)
        (folder / "twin.html").write_text(
            f"<!doctype html><meta charset=utf-8><style>body{{margin:0;background:#fbfaf6}}</style>{markup}"
        )
        page.goto(f"file://{folder}/twin.html")
        page.evaluate("document.fonts.ready")
        pictured(page, path=str(folder / "twin.png"))
        page.close()
        twin = Image.open(folder / "twin.png").convert("RGB")
        # The browser sets lettering to whole rows of pixels, half a pixel off at most. Behind a blur of 5 px that leaves
        # 230 / 2 / (5 sqrt(2 pi)) = 9 of 255 at the edge of ink, however much lettering there is; a lost digit leaves 50 and more.
        blurred = [image.filter(ImageFilter.GaussianBlur(5)) for image in (picture, twin)]
        off = max(most for _, most in ImageChops.difference(*blurred).getextrema())
        holds(off <= 12, f"{name}: {file.name} and its PNG differ by {off} of 255")
        # And nowhere is a whole patch another colour.
        small = ImageChops.difference(picture.resize((width // 12, height // 12)), twin.resize((width // 12, height // 12)))
        holds(max(high for _, high in small.getextrema()) < 70, f"{name}: {file.name}: {small.getextrema()}")
    (folder / "twin.html").unlink()
    (folder / "twin.png").unlink()


# ---- The page ---------------------------------------------------------------

LEAST_TEXT_PX = """() => Math.min(...[...document.querySelectorAll('svg text')]
  .filter(text => text.getClientRects().length)
  .map(text => parseFloat(text.getAttribute('font-size'))
    * text.ownerSVGElement.getBoundingClientRect().width / text.ownerSVGElement.viewBox.baseVal.width))"""
SCROLLS = """() => [...document.querySelectorAll('.scroll')]
  .filter(box => box.scrollWidth > box.clientWidth + 1).map(box => box.getAttribute('aria-label'))"""
CUT = """() => [...document.querySelectorAll('svg')]
  .filter(svg => svg.getClientRects().length)
  .flatMap(svg => { const box = svg.getBoundingClientRect();
    return [...svg.querySelectorAll('text')].filter(text => { const own = text.getBoundingClientRect();
      return own.left < box.left - 1 || own.right > box.right + 1; }).map(text => text.textContent); })"""
TARGETS = """() => [...document.querySelectorAll('summary')]
  .filter(summary => summary.getClientRects().length)
  .map(summary => summary.getBoundingClientRect().height).filter(height => height < 43.5).length"""


# Where an audit is made, and by which rule alone.
AUDITED = {("light", 360): None, ("light", 1360): None, ("dark", 360): "color-contrast"}


def audited(page, where, rule=None):
    """An audit of accessibility, by one rule or by all."""
    options = {"resultTypes": ["violations"]}
    if rule:
        options["runOnly"] = {"type": "rule", "values": [rule]}
    found = Axe().run(page, options=options)
    holds(found.violations_count == 0, f"{where}: {found.generate_report()}")


def check_page(name, folder, browser):
    # The themes differ in colours alone: by night a phone and a desk are enough, and what hangs on colours.
    ways = [("light", 360), ("light", 800), ("light", 1360), ("dark", 360), ("dark", 1360)]
    for scheme, width in ways:
        where = f"{name}, {width} px, {scheme}"
        context = browser.new_context(viewport={"width": width, "height": 900}, color_scheme=scheme)
        page = context.new_page()
        page.set_default_timeout(120_000)
        said = []
        page.on("console", lambda message: said.append(message.text))
        page.on("pageerror", lambda error: said.append(str(error)))
        page.on("request", lambda request: said.append(request.url) if not request.url.startswith(("file:", "data:")) else None)
        page.goto(f"file://{folder}/page.html")
        page.evaluate("document.fonts.ready")
        pictured(page, path=str(folder / f"page-{scheme}-{width}.png"), full_page=True)
        if scheme == "light":
            holds(page.evaluate("document.documentElement.scrollWidth") <= width, f"{where}: wider than its window")
            holds(page.evaluate(LEAST_TEXT_PX) >= 12, f"{where}: text of {page.evaluate(LEAST_TEXT_PX)} px")
            holds(page.evaluate(CUT) == [], f"{where}: cut off: {page.evaluate(CUT)}")
            holds(page.evaluate(SCROLLS) == [], f"{where}: tables wider than the window: {page.evaluate(SCROLLS)}")
            holds(page.evaluate(TARGETS) == 0, f"{where}: figures or pictures too small to touch")
        # Everything that opens opens, and is as good then: an audit of it takes as long as all else.
        page.evaluate("document.querySelectorAll('details').forEach(details => details.open = true)")
        if (scheme, width) in AUDITED:
            audited(page, f"{where}, open", AUDITED[scheme, width])
        holds(page.evaluate("document.documentElement.scrollWidth") <= width, f"{where}, open: wider than its window")
        holds(not said, f"{where}: {said}")
        context.close()
    page = browser.new_page(color_scheme="dark")
    page.goto(f"file://{folder}/page.html")
    page.emulate_media(media="print")
    background = page.evaluate("getComputedStyle(document.body).backgroundColor")
    holds(background == "rgb(255, 255, 255)", f"{name}: printed on {background}")
    page.pdf(path=str(folder / "page-printed.pdf"), format="A4", margin={side: "15mm" for side in ["top", "right", "bottom", "left"]})
    page.close()
    run("pdftoppm", "-r", 60, "-png", folder / "page-printed.pdf", folder / "printed")


def main():
    program, folder = Path(sys.argv[1]).resolve(), Path(sys.argv[2]).resolve()
    kind = document_type()
    flags = [
        "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
        "--disable-component-update", "--disable-sync",
    ]
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=flags)
        for name in STATIONS:
            station = ROOT / "stations" / f"{name}.toml"
            proof = json.loads(run(program, "prove", station, "--json"))
            proof = proof.get("proof", proof)
            # One station shows what the other paper does.
            for paper in PAPERS if name == STATIONS[0] or "EVERY" in os.environ else list(PAPERS)[:1]:
                out = folder / f"{name}-{paper}"
                run(program, "prove", station, "--out", out, "--paper", paper)
                check_pdf(f"{name} on {paper}", paper, out, proof)
            check_svg(name, out, kind)
            check_png(name, out, browser)
            # The page of one station, or with EVERY in the environment of all: audits of it take longer than all else.
            if name == STATIONS[0] or "EVERY" in os.environ:
                check_page(name, out, browser)
            print(f"{name}: PDF, SVG, PNG and page are as they should be")
        browser.close()


main()
