# SPDX-License-Identifier: Apache-2.0
"""What the program's own --help says, as values: the source of man pages and completions."""
import dataclasses
import re
import subprocess

INDENT = 30  # where the help puts descriptions
SPEC = re.compile(r"^(?P<names>\S+)(?: (?P<value>.*?))??(?P<many> \.\.\.)?(?P<required> REQUIRED)?$")
CHOICES = re.compile(r"^\w+:\{(?P<choices>[^}]*)\}(?:=(?P<default>.*))?$")
RANGE = re.compile(r"^(?P<name>\S+?):(?:INT in \[)?(?P<low>-?[\d.]+?)(?:\.\.| - )(?P<high>-?\d[\d.]*)\]?"
                   r"(?:=(?P<default>.*))?$")
# Words for values that name files or folders, as the help uses them.
FILES, FOLDERS = {"FILE", "LOG", "REPORT", "SCENARIO", "FILE|KEY=VALUE"}, {"DIR"}


@dataclasses.dataclass
class Argument:
    """An option, or with no leading dash in its only name a positional."""
    names: list
    value: str = ""  # the word for its value; empty for a flag
    choices: tuple = ()
    bounds: tuple = ()
    default: str = ""
    many: bool = False
    required: bool = False
    text: str = ""

    def wants(self):
        """What completes the value: "files", "folders", "choices" or ""."""
        word = self.value or self.names[0]
        if self.choices:
            return "choices"
        return "files" if word in FILES else "folders" if word in FOLDERS else ""


@dataclasses.dataclass
class Command:
    name: str  # empty for the program itself
    summary: str
    usage: str
    positionals: list
    options: list
    commands: dict
    notes: list  # paragraphs behind the options
    examples: list


def argument(spec, text):
    found = SPEC.match(spec)
    result = Argument(found["names"].split(","), many=bool(found["many"]),
                      required=bool(found["required"]), text=text)
    value = found["value"] or ""
    if choices := CHOICES.match(value):
        result.choices = tuple(choices["choices"].split(","))
        result.default = choices["default"] or ""
        longest = max(result.names, key=len).lstrip("-")
        result.value = value.split(":")[0]
        if result.value == "TEXT":
            result.value = longest.upper()
    elif limits := RANGE.match(value):
        result.value, result.default = limits["name"], limits["default"] or ""
        result.bounds = (limits["low"], limits["high"])
    elif result.names[0].startswith("-"):
        result.value = value
    return result


def entries(lines):
    """(spec, text) of a section; a long spec has its text on the next line."""
    found = []
    for i, line in enumerate(lines):
        if line.startswith(" " * INDENT):
            continue
        below = lines[i + 1].strip() if i + 1 < len(lines) and lines[i + 1].startswith(" " * INDENT) else ""
        found.append((line.strip(), below) if below else (line[:INDENT].strip(), line[INDENT:].strip()))
    return found


def sections(lines):
    """Blocks of indented lines by their heading, and what else stands there."""
    blocks, notes, heading = {}, [], None
    for line in lines:
        if re.match(r"^[A-Z][a-z]+:$", line):
            heading = line[:-1]
            blocks[heading] = []
        elif heading and line.startswith("  "):
            blocks[heading].append(line)
        elif line:
            heading = None
            notes.append(line)
        else:
            heading = None
            notes.append("")
    return blocks, [" ".join(text.split("\n")) for text in "\n".join(notes).strip().split("\n\n") if text]


def parse(name, text):
    head, _, rest = text.partition("Usage: ")
    usage, _, body = rest.partition("\n")
    blocks, notes = sections(body.splitlines())
    options = [argument(*entry) for entry in entries(blocks.get("Options", []))]
    positionals = [argument(*entry) for entry in entries(blocks.get("Positionals", []))]
    examples = blocks.get("Examples", []) + blocks.get("Example", [])
    return Command(name, " ".join(head.split()), usage.strip(), positionals, options,
                   dict(entries(blocks.get("Subcommands", []))), notes,
                   [line.strip() for line in examples])


def ask(program, *words):
    return subprocess.run([program, *words], capture_output=True, check=True, timeout=60,
                          encoding="utf-8").stdout


def read_help(program):
    """The program itself, then every command that it names."""
    top = parse("", ask(program, "--help"))
    return [top] + [parse(name, ask(program, name, "--help")) for name in top.commands]
