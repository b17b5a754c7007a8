# SPDX-License-Identifier: Apache-2.0
"""Pages and pictures as a browser shows and prints them: browser_test.py PROGRAM [--shots FOLDER].

Needs Chromium (Debian's `chromium`); exits with 77 (skipped) where there is none. With --shots the
pages are kept as pictures, to be looked at.
"""
import pathlib
import re
import sys
import tempfile

import browser
import documents

# What is printed on, in inches, and the px between the margins of 12 mm.
PAPERS = {"A4": (8.27, 11.69, 703), "Letter": (8.5, 11.0, 725)}
MOST_SHEETS = 14

WIDE = """(() => { const out = [];
  for (const e of document.body.querySelectorAll('*')) {
    if (e.closest('svg') && e.tagName !== 'svg') continue;
    if (e.closest('.skip') || (%(scrolls)s && e.closest('.scroll') && !e.matches('.scroll'))) continue;
    const box = e.getBoundingClientRect();
    if (box.width > 0 && (box.right > %(width)d + 1 || box.left < -1))
      out.push(e.tagName + ' ' + Math.round(box.left) + '..' + Math.round(box.right) + ' '
               + e.textContent.slice(0, 40));
  } return out; })()"""

# Pairs of labels in one picture that cover each other by more than a px.
OVERLAPS = """(() => { const out = [];
  for (const svg of document.querySelectorAll('svg[role=img]')) {
    const scale = svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
    const labels = [...svg.querySelectorAll('text')].map(e => [e.textContent, e.getBoundingClientRect()]);
    const frame = svg.getBoundingClientRect();
    for (const [text, a] of labels)
      if (a.left < frame.left - 1 || a.right > frame.right + 1 || a.bottom > frame.bottom + 1)
        out.push('outside: ' + text);
    for (let i = 0; i < labels.length; ++i) for (let j = i + 1; j < labels.length; ++j) {
      const [s, a] = labels[i], [t, b] = labels[j];
      const w = Math.min(a.right, b.right) - Math.max(a.left, b.left);
      const h = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
      // Boxes of text are as high as the font may be, not as the letters are.
      if (w > 1 * scale && h > 4 * scale) out.push(s + ' | ' + t);
    }
  } return out; })()"""

HIDDEN = "[...document.querySelectorAll('details li')].filter(e => !e.checkVisibility()).length"


class Checker:
    def __init__(self, shots):
        self.browser = browser.Browser()
        self.complaints, self.shots = [], shots

    def require(self, truth, what):
        if not truth:
            self.complaints.append(what)

    def loads(self, page):
        """Nothing but the page itself is asked for, and nothing is complained of."""
        for event in self.browser.open(page.as_uri()):
            method, told = event.get("method"), event.get("params", {})
            if method == "Network.requestWillBeSent":
                url = told["request"]["url"]
                self.require(url == page.as_uri() or url.startswith("data:"), f"{page.stem}: asks for {url}")
            self.require(method not in ("Runtime.exceptionThrown", "Runtime.consoleAPICalled",
                                        "Log.entryAdded"), f"{page.stem}: {told}")
        self.require(self.browser.value("document.querySelectorAll('script,img').length") == 0,
                     f"{page.stem}: a text became an element")

    def shot(self, name):
        if self.shots:
            self.browser.shot(self.shots / f"{name}.png")

    def on_screen(self, page):
        for width in (360, 800, 1200):
            for scheme in ("light", "dark"):
                self.browser.show(width, scheme=scheme)
                for wide in self.browser.value(WIDE % {"width": width, "scrolls": "true"}):
                    self.complaints.append(f"{page.stem}: {width} px: beyond the edge: {wide}")
                self.shot(f"{page.stem}-{width}-{scheme}")
        for pair in self.browser.value(OVERLAPS):
            self.complaints.append(f"{page.stem}: labels overlap: {pair}")

    def on_paper(self, page):
        for paper, (width, height, px) in PAPERS.items():
            self.browser.show(px, media="print", scheme="dark")
            for wide in self.browser.value(WIDE % {"width": px, "scrolls": "false"}):
                self.complaints.append(f"{page.stem}: {paper}: clipped: {wide}")
            self.require(self.browser.value(HIDDEN) == 0, f"{page.stem}: {paper}: a fold hides its text")
            ground = self.browser.value("getComputedStyle(document.documentElement).backgroundColor")
            self.require(ground == "rgb(255, 255, 255)", f"{page.stem}: {paper}: prints on {ground}")
            self.shot(f"{page.stem}-{paper}")
            pdf = self.browser.pdf(width, height)
            sheets = re.findall(rb"/MediaBox \[0 0 (\d+)[\d.]* (\d+)[\d.]*\]", pdf)
            self.require(pdf.startswith(b"%PDF"), f"{page.stem}: {paper}: no PDF")
            several = page.stem in ("several", "tour")
            self.require(0 < len(sheets) <= MOST_SHEETS * (8 if several else 1),
                         f"{page.stem}: {paper}: {len(sheets)} sheets")
            for w, h in sheets:
                self.require(abs(int(w) - 72 * width) < 2 and abs(int(h) - 72 * height) < 2,
                             f"{page.stem}: {paper}: a sheet of {w!r} by {h!r} points")
            if self.shots:
                (self.shots / f"{page.stem}-{paper}.pdf").write_bytes(pdf)


def self_test(checker, folder):
    """The checks must be able to fail."""
    page = pathlib.Path(folder) / "bad.html"
    page.write_text("<!DOCTYPE html><body><p style='width:2000px'>wide</p><script>console.log(1)</script>"
                    "<img src='http://127.0.0.1:9/x.png'>"
                    "<svg role='img' viewBox='0 0 100 20' width='300'><text x='1' y='10'>label</text>"
                    "<text x='9' y='11'>label</text></svg>"
                    "<details><summary>s</summary><ul><li>a</li></ul></details>", encoding="utf-8")
    checker.loads(page)
    checker.on_screen(page)
    checker.on_paper(page)
    told = "\n".join(checker.complaints)
    for part in ("asks for http", "'type': 'log'", "became an element", "beyond the edge",
                 "labels overlap", "clipped", "a fold hides"):
        assert part in told, part
    checker.complaints.clear()


def main():
    if len(sys.argv) not in (2, 4):
        sys.exit("usage: browser_test.py PROGRAM [--shots FOLDER]")
    if browser.program() is None:
        print("skipped: needs Chromium (apt-get install chromium)")
        sys.exit(77)
    shots = pathlib.Path(sys.argv[3]) if len(sys.argv) == 4 else None
    checker = Checker(shots)
    with tempfile.TemporaryDirectory() as folder:
        try:
            self_test(checker, folder)
            pages = documents.write_all(str(pathlib.Path(sys.argv[1]).resolve()), folder)
            for page in pages:
                checker.loads(page)
                checker.on_screen(page)
                checker.on_paper(page)
        finally:
            checker.browser.close()
    complaints = sorted(set(checker.complaints))
    print("\n".join(complaints))
    print(f"{len(pages)} pages shown and printed; {len(complaints)} complaints")
    sys.exit(1 if complaints else 0)


if __name__ == "__main__":
    main()
