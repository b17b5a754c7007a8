# SPDX-License-Identifier: Apache-2.0
"""Pages as a parser that is not ours reads them: structure_test.py PROGRAM.

Python's own html.parser; no browser is needed. What must hold: HTML 5 nesting, one h1 and no level
of heading left out, ids that are unique and found, tables with caption and scopes, and nothing that
could run or be fetched.
"""
import html.parser
import pathlib
import re
import sys
import tempfile
import xml.etree.ElementTree

import documents

VOID = {"meta", "link", "input", "br", "hr", "img"}
MOST_BYTES = 6_000_000


class Page(html.parser.HTMLParser):
    def __init__(self, name, text):
        super().__init__(convert_charrefs=True)
        self.name, self.complaints = name, []
        self.open, self.ids, self.wanted, self.headings, self.text = [], [], [], [], ""
        self.tables = 0
        self.feed(text)
        self.close()
        self.require(not self.open, f"left open: {self.open}")
        self.finish()

    def require(self, truth, what):
        if not truth:
            self.complaints.append(f"{self.name}: line {self.getpos()[0]}: {what}")

    def handle_startendtag(self, tag, attributes):
        self.note(tag, dict(attributes))

    def handle_starttag(self, tag, attributes):
        self.note(tag, dict(attributes))
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag):
        self.require(self.open and self.open[-1] == tag, f"</{tag}> closes {self.open[-1:]}")
        if self.open:
            self.open.pop()

    def handle_data(self, data):
        self.text += data

    def note(self, tag, attributes):
        self.require(tag not in {"script", "iframe", "img", "object", "embed", "form", "base"}, f"<{tag}>")
        for name, value in attributes.items():
            self.require(not name.startswith("on"), f"{name} runs something")
            self.require(name != "style", "style is inline")
            self.require(not re.search(r"url\((?!#)", value or ""), f"{name} refers to a url")
            if name in {"src", "href", "xlink:href", "action", "data"}:
                self.require(value.startswith("#") or value == "data:,", f"{name}={value}")
        if "id" in attributes:
            self.ids.append(attributes["id"])
        for name in ("aria-labelledby", "aria-describedby"):
            self.wanted += attributes.get(name, "").split()
        if attributes.get("href", "").startswith("#"):
            self.wanted.append(attributes["href"][1:])
        if re.fullmatch("h[1-6]", tag):
            self.headings.append(int(tag[1]))
        if tag == "table":
            self.tables += 1
        if tag == "th":
            self.require(attributes.get("scope") in {"row", "col"}, "a heading cell without scope")
        if tag == "html":
            self.require(attributes.get("lang") == "en", "no language")

    def finish(self):
        self.require(self.headings.count(1) == 1 and self.headings[0] == 1, "not one h1 first")
        for before, after in zip(self.headings, self.headings[1:]):
            self.require(after <= before + 1, f"h{after} follows h{before}")
        self.require(len(self.ids) == len(set(self.ids)), "an id stands twice")
        for id_ in self.wanted:
            self.require(id_ in self.ids, f"nothing has the id {id_}")


def check(path):
    text = path.read_text(encoding="utf-8")
    page = Page(path.stem, text)
    page.require(len(text) < MOST_BYTES, f"{len(text)} bytes")
    page.require(text.startswith("<!DOCTYPE html>\n"), "no doctype")
    page.require(text.count("<caption>") == page.tables, "a table without caption")
    pictures = re.findall(r"<svg xmlns.*?</svg>", text, re.DOTALL)
    for picture in pictures:
        root = xml.etree.ElementTree.fromstring(picture)
        page.require(root[0].tag.endswith("title") and root[0].text, "a picture without title")
        page.require(root[1].tag.endswith("desc") and root[1].text, "a picture without description")
        page.require(len(picture) < 500_000, f"a picture of {len(picture)} bytes")
    page.require(pictures or path.stem == "plan", "no picture")
    return page


def self_test():
    """The checks must be able to fail."""
    good = "<html lang='en'><h1>a</h1></html>"
    bad = {"nesting": "<html lang='en'><h1><p></h1></p></html>", "heading": good + "<h3>b</h3>",
           "script": good + "<script>1</script>", "handler": good + "<p onclick='x'>a</p>",
           "outside": good + "<a href='http://x.invalid'>a</a>", "id": good + "<p id='a'></p><p id='a'></p>",
           "label": good + "<p aria-labelledby='z'></p>", "scope": good + "<table><tr><th>a</th></tr></table>"}
    assert not Page("good", good).complaints
    for name, text in bad.items():
        assert Page(name, text).complaints, name


def main():
    if len(sys.argv) != 2:
        sys.exit("usage: structure_test.py PROGRAM")
    self_test()
    complaints = []
    with tempfile.TemporaryDirectory() as folder:
        pages = documents.write_all(str(pathlib.Path(sys.argv[1]).resolve()), folder)
        for path in pages:
            page = check(path)
            complaints += page.complaints
            if path.stem == "job" and documents.HOSTILE not in page.text:
                complaints.append("job: the text of a field is not what was given")
    print("\n".join(complaints))
    print(f"{len(pages)} pages read; {len(complaints)} complaints")
    sys.exit(1 if complaints else 0)


if __name__ == "__main__":
    main()
