# SPDX-License-Identifier: Apache-2.0
"""Strings that mean harm: strings_test.py PROGRAM

They come in as headings, ids, labels, job cards and file names, and must come out as text only.
"""
import csv
import html.parser
import io
import json
import math
import pathlib
import shutil
import unittest
import xml.etree.ElementTree

from bench import DEMO, Bench, main, run

MARK = "evilmark"
STRINGS = [
    f"<script>{MARK}</script>", f"\"><img src=x onerror={MARK}>", f"' {MARK}='1", f"&{MARK};<!--", f"]]>{MARK}",
    f"\x1b[31m\x07\x00\x7f{MARK}", f"\u009b31m{MARK}\u0085", f"\u202e{MARK}\u2066\u200f\u2028",
    f"=cmd|'/c {MARK}'!A0", f"\t={MARK}", f" @{MARK}", f"\uff1d{MARK}", f"../../{MARK}", f"/tmp/{MARK}",
    MARK + "y" * 1500,
]
# What is escaped alike goes in together: a few runs instead of many.
GROUPS = ["".join(STRINGS[0:5]), "".join(STRINGS[5:8]), STRINGS[8], STRINGS[-1]]
CONTROLS = {chr(c) for c in [*range(0x20), *range(0x7F, 0xA0)]} | set(
    "\u061c\u200e\u200f\u2028\u2029\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


class Elements(html.parser.HTMLParser):
    """Fails when a string became part of a tag, a comment or a declaration."""
    def __init__(self):
        super().__init__()
        self.seen = []
        self.open = []

    def handle_starttag(self, tag, attributes):
        self.seen.append(tag)
        self.open.append(tag)
        for name, value in attributes:
            link = (value or "") if name in ("href", "src") else ""
            # Within the page, or to a page in the folder given.
            stays = link.startswith(("#", "pages/")) and "/.." not in link
            if MARK in name or name.startswith("on") or (MARK in link and not stays):
                raise AssertionError(f"{tag} has {name}={value}")
        if MARK in tag or tag in ("script", "img", "iframe", "object"):
            raise AssertionError(tag)

    def handle_comment(self, data):
        if MARK in data:
            raise AssertionError("comment " + data)


class Strings(Bench):
    def plain(self, data, what, spared="\n"):
        text = data.decode("utf-8")  # invalid UTF-8 raises
        found = {hex(ord(c)) for c in text if c in CONTROLS and c not in spared}
        self.assertEqual(found, set(), what)

    def parsed(self, data, lines=False):
        def refuse(name):
            raise AssertionError(f"{name} is no JSON number")
        texts = data.decode("utf-8").splitlines() if lines else [data.decode("utf-8")]
        values = [json.loads(text, parse_constant=refuse) for text in texts]
        self.finite(values)
        self.plain(data, "JSON")
        return values

    def finite(self, value):
        if isinstance(value, float):
            self.assertTrue(math.isfinite(value))
        for item in value.values() if isinstance(value, dict) else value if isinstance(value, list) else ():
            self.finite(item)

    def page(self, data):
        self.plain(data, "HTML")
        elements = Elements()
        elements.feed(data.decode("utf-8"))
        elements.close()
        return elements.seen

    def furnish(self, text):
        """A log, a profile and a job card that hold the string wherever one can be."""
        lines = (self.here / "log.csv").read_text().splitlines()
        rows = [line for line in lines if not line.startswith("#")]
        head = "\"" + text.replace("\"", "\"\"").replace("\x00", "") + "\","
        log = [head + rows[0]] + [head + row for row in rows[1:400]]
        (self.here / "evil.csv").write_text("\n".join(log) + "\n", encoding="utf-8")
        profile = json.loads((self.here / "profile.json").read_text())
        profile["label"] = text
        (self.here / "evil.json").write_text(json.dumps(profile))
        (self.here / "job.json").write_text(json.dumps({"number": text, "complaint": text, "customer": text}))

    def output(self, *arguments, codes=(0,)):
        result = run(*arguments, cwd=self.here)
        self.assertIn(result.returncode, codes, (arguments, result.stderr[:1000]))
        self.plain(result.stderr, arguments)
        return result.stdout

    def forms(self, *arguments, forms):
        for form in forms:
            data = self.output(*arguments, "--format", form)
            if form == "html":
                self.page(data)
            elif form == "svg":
                self.plain(data, "SVG")
                tree = xml.etree.ElementTree.fromstring(data)
                self.assertFalse([e.tag for e in tree.iter() if MARK in e.tag or e.tag.endswith("script")
                                  or any(MARK in name for name in e.attrib)])
            elif form in ("json", "jsonl"):
                self.parsed(data, form == "jsonl")
            else:
                self.plain(data, (arguments, form))

    def test_logs_profiles_and_job_cards(self):
        for text in GROUPS:
            with self.subTest(text[:30]):
                self.furnish(text)
                self.forms("inspect", "evil.csv", forms=("text", "json"))
                self.forms("check", "evil.csv", "--profile", "evil.json", "--job", "job.json",
                           forms=("text", "json", "jsonl", "html", "svg"))
                (self.here / "evil-report.json").write_bytes(
                    self.output("check", "evil.csv", "--profile", "evil.json", "--job", "job.json", "--format", "json"))
                self.forms("plan", "evil-report.json", forms=("text", "json", "html"))
                if text != GROUPS[1]:
                    continue
                self.forms("watch", "evil.csv", "--profile", "evil.json", "--until-idle", "0.1", "-q",
                           forms=("text", "jsonl"))

    def test_the_same_elements_whatever_the_string(self):
        seen = []
        for text in ("plain", GROUPS[0]):
            self.furnish(text)
            seen.append(self.page(self.output("check", "evil.csv", "--profile", "evil.json", "--job", "job.json",
                                              "--format", "html")))
        for other in seen[1:]:
            self.assertEqual(other, seen[0])

    def test_bands_and_their_history(self):
        for text in GROUPS[:2]:
            with self.subTest(text[:30]):
                given = text.replace("\x00", "")
                (self.here / "evil-band.json").unlink(missing_ok=True)
                self.output("learn", *sorted((self.here / "normal").iterdir()), "--vehicle", given, "--band",
                            "evil-band.json", "--since", "2031-03-01", "--service", given)
                self.parsed(self.output("history", "--band", "evil-band.json", "--format", "json"))
                self.plain(self.output("history", "--band", "evil-band.json"), text)
                self.forms("verify", "--band", "evil-band.json", "--after", "log.csv",
                           forms=("text", "json", "html", "svg"))

    def test_names_of_files(self):
        for text in GROUPS[:3]:
            name = (text.replace("/", "_").replace("\x00", "")[:100] + ".csv").encode()
            for raw in (name, b"\xff\x9b31m\xc3" + name):
                path = str(self.here).encode() + b"/" + raw
                shutil.copy(self.here / "log.csv", path)
                for form in ("text", "json", "html"):
                    result = self.by_bytes(raw, form)
                    self.page(result) if form == "html" else self.plain(result, raw)
                pathlib.Path(path.decode("utf-8", "surrogateescape")).unlink()

    def by_bytes(self, name, form):
        return self.output("check", "--format", form, "--", name.decode("utf-8", "surrogateescape"))

    def test_a_fleet_writes_in_its_folder_and_no_formula(self):
        lines = [line for line in (self.here / "log.csv").read_text().splitlines() if not line.startswith("#")]
        logs = self.here / "logs"
        logs.mkdir()
        ids = [text.replace("\x00", "")[:200] for text in STRINGS]
        for number, text in enumerate(ids):
            quoted = "\"" + text.replace("\"", "\"\"") + "\""
            rows = ["vehicle," + lines[0]] + [f"{quoted}," + line for line in lines[1:]]
            (logs / f"{number}.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
        before = set(self.here.rglob("*"))
        outside = set(self.here.parent.glob("*" + MARK + "*"))
        options = ("fleet", "logs", "--vehicle-by", "column", "--store", "store", "--bands", "bands",
                   "--pages", "pages", "--pages-for", "all")
        table = self.output(*options, "--format", "csv")
        self.plain(table, "CSV", "\r\n")
        cells = [cell for row in csv.reader(io.StringIO(table.decode())) for cell in row]
        self.assertTrue(any(MARK in cell for cell in cells))
        self.assertEqual([cell for cell in cells if cell.strip() and cell.strip()[0] in "=+-@\uff1d"
                          and not cell.lstrip("-").replace(".", "").isdigit()], [])
        made = set(self.here.rglob("*")) - before
        self.assertEqual({path.relative_to(self.here).parts[0] for path in made} - {"store", "bands", "pages"}, set())
        pages = [path for path in made if path.is_file() and path.relative_to(self.here).parts[0] == "pages"]
        self.assertGreaterEqual(len(pages), len(ids))
        self.assertTrue(any(MARK in path.read_text(encoding="utf-8") for path in pages))
        for path in pages:
            self.assertEqual(path.parent.parent.resolve(), (self.here / "pages").resolve(), path)
            self.page(path.read_bytes())
        self.assertEqual(set(self.here.parent.glob("*" + MARK + "*")), outside)
        self.forms(*options, forms=("text", "json", "jsonl", "html"))

    @classmethod
    def setUpClass(cls):
        super().setUpClass()
        shutil.copytree(DEMO / "warden-2/normal", cls.here / "normal")

    def test_what_is_wrong_is_quoted_as_text(self):
        for text in GROUPS:
            given = text.replace("\x00", "")
            with self.subTest(given[:30]):
                self.output("check", "log.csv", "--column", f"coolant={given}", codes=(2, 3))
                self.output("check", "log.csv", f"--{given}", codes=(2, 3))
                self.output("check", f"missing-{given}", codes=(3,))
                self.output("check", "log.csv", "--job", f"{given}=1", codes=(2, 3))
                (self.here / "keys.json").write_text(json.dumps({text: "1", "number": "2"}))
                self.output("check", "log.csv", "--job", "keys.json", codes=(2,))
                (self.here / "wrong.json").write_text(text, encoding="utf-8")
                self.output("check", "log.csv", "--profile", "wrong.json", codes=(2,))
                self.output("simulate", "wrong.json", codes=(2,))


if __name__ == "__main__":
    main()
