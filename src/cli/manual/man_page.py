# SPDX-License-Identifier: Apache-2.0
"""Pages of man(7) from the help and from the prose in docs/man."""
import re

SYMBOLS = {"°": r"\(de", "–": r"\(en", "—": r"\(em", "…": r"\&...", "×": r"\(mu", "±": r"\(+-",
           "’": r"\(cq", "‘": r"\(oq", "“": r"\(lq", "”": r"\(rq", "\\": r"\e", "`": r"\(ga"}
ORDER = ("DESCRIPTION", "COMMANDS", "OPTIONS", "EXIT STATUS", "ENVIRONMENT", "FILES", "EXAMPLES",
         "SAFETY", "NOTES", "SEE ALSO")
MARKED = re.compile(r"`([^`]+)`|\*\*([^*]+)\*\*|\*([^*]+)\*")
TERM = r"(?:`[^`]+`|\*[^*]+\*)"
ITEM = re.compile(rf"^- (?:({TERM}(?:, {TERM})*): )?(.*)$", re.DOTALL)
UNITS = ("km ", "bar ", "kPa ")  # no sentence makes capitals of these


def plain(text):
    """Text whose every sign prints as itself."""
    return "".join(SYMBOLS.get(c, c if ord(c) < 128 else rf"\[u{ord(c):04X}]") for c in text)


def literal(text):
    """Text to be typed: a minus stays a minus, straight quotes stay straight."""
    return plain(text).replace("-", r"\-").replace("'", r"\(aq").replace("^", r"\(ha").replace("~", r"\(ti")


def line(text):
    """No control line by accident."""
    return r"\&" + text if text[:1] in (".", "'") else text


def inline(text):
    """Marks of Markdown as fonts; options and `coolband x` in prose need backquotes."""
    result, done = "", 0
    for mark in MARKED.finditer(text):
        result += plain(text[done:mark.start()])
        code, bold, italic = mark.groups()
        result += (rf"\fB{literal(code)}\fR" if code else rf"\fB{plain(bold)}\fR" if bold
                   else rf"\fI{plain(italic)}\fR")
        done = mark.end()
    return result + plain(text[done:])


def block(text):
    """One paragraph, list or piece of code of the prose."""
    if text.startswith("    "):
        lines = [line(literal(row[4:])) for row in text.splitlines()]
        return [".PP", ".RS 4", ".nf", *lines, ".fi", ".RE"]
    if not text.startswith("- "):
        return [".PP", line(inline(" ".join(text.split())))]
    lines = []
    for item in re.split(r"\n(?=- )", text):
        term, said = ITEM.match(item).groups()
        lines += [".TP", inline(term)] if term else [r".IP \(bu 2"]
        lines.append(line(inline(" ".join(said.split()))))
    return lines


def prose(text):
    """Sections of a file of docs/man as lists of blocks, by heading."""
    found = {}
    for part in re.split(r"^## ", re.sub(r"<!--.*?-->\n*", "", text, flags=re.DOTALL), flags=re.MULTILINE):
        heading, _, body = part.partition("\n")
        if heading.strip():
            found[heading.strip()] = [piece for piece in re.split(r"\n\n+", body.strip("\n")) if piece]
    return found


def facts(option):
    """What the help puts into the option's spelling, in words."""
    words = []
    if option.choices:
        words.append("One of " + ", ".join(rf"\fB{literal(choice)}\fR" for choice in option.choices) + ".")
    if option.bounds:
        words.append(f"From {literal(option.bounds[0])} to {literal(option.bounds[1])}.")
    if option.default:
        words.append(rf"The default is \fB{literal(option.default)}\fR.")
    if option.required:
        words.append("Required.")
    if option.many and "repeatable" not in option.text:
        words.append("Several may be given." if option.names[0][0] != "-" else
                     "Takes several, and may be given again.")
    return " ".join(words)


def spelling(option):
    names = ", ".join(rf"\fB{literal(name)}\fR" for name in option.names)
    return names + (rf" \fI{literal(option.value)}\fR" if option.value else "")


def sentence(text):
    first = text[:1] if text.startswith(UNITS) else text[:1].upper()
    return plain(first + text[1:]) + ("" if text.endswith((".", "?", "!")) else ".")


def said_of(option):
    return " ".join(filter(None, [sentence(option.text), facts(option)]))


def options_section(command):
    lines = []
    for positional in command.positionals:
        lines += [".TP", rf"\fI{literal(positional.names[0])}\fR", line(said_of(positional))]
    for option in command.options:
        lines += [".TP", spelling(option), line(said_of(option))]
    return lines


def synopsis(command):
    # The required options are named; the rest is OPTIONS.
    words = [r"\fBcoolband\fR" if not command.name else rf"\fBcoolband {command.name}\fR"]
    if not command.name:
        return [" ".join(words + [r"\fICOMMAND\fR", r"[\fIOPTIONS\fR]", r"[\fIARGUMENTS\fR]"]), ".br",
                r"\fBcoolband\fR [\fIOPTIONS\fR]"]
    words.append(r"[\fIOPTIONS\fR]")
    words += [spelling(option) + (" ..." if option.many else "") for option in command.options if option.required]
    words += [rf"[\fI{literal(p.names[0])}\fR{' ...' if p.many else ''}]" for p in command.positionals]
    return [" ".join(words)]


def exit_status(blocks, command):
    """The shared list; 1 is left out where no option asks for it."""
    fails = not command.name or any("--fail-on" in option.names for option in command.options)
    return ["\n".join(item for item in re.split(r"\n(?=- )", text) if fails or not item.startswith("- `1`"))
            for text in blocks]


def see_also(command, names):
    pages = ["coolband"] + [f"coolband-{name}" for name in names]
    own = f"coolband-{command.name}" if command.name else "coolband"
    return [", ".join(rf"\fB{literal(page)}\fR(1)" for page in pages if page != own)]


def man_page(command, names, texts, stamp):
    """The page of one command. `texts`: prose by file name; `stamp`: (date, version)."""
    own = prose(texts.get(command.name or "coolband", ""))
    shared = prose(texts["shared"])
    given = {heading: blocks or shared[heading] for heading, blocks in own.items()}
    title = f"coolband-{command.name}" if command.name else "coolband"
    summary = command.summary.removeprefix("coolband: ")
    page = [r'.\" Written at build time from --help and docs/man.',
            f'.TH {literal(title.upper())} 1 {stamp[0]} "coolband {stamp[1]}" "User Commands"',
            ".nh", ".ad l", ".SH NAME", rf"{literal(title)} \- {plain(summary.rstrip('.'))}", ".SH SYNOPSIS", *synopsis(command)]
    bodies = {heading: [row for text in blocks for row in block(text)] for heading, blocks in given.items()}
    # Of a command without prose of its own, the help is all there is to say.
    bodies.setdefault("DESCRIPTION", [".PP", line(sentence(summary))])
    if command.name:
        bodies["DESCRIPTION"] += [row for note in command.notes for row in (".PP", line(plain(note)))]
    if command.commands:
        bodies["COMMANDS"] = [row for name, text in command.commands.items()
                              for row in (".TP", rf"\fB{literal('coolband-' + name)}\fR(1)", line(sentence(text)))]
    bodies["OPTIONS"] = options_section(command)
    bodies["EXIT STATUS"] = [row for text in exit_status(shared["EXIT STATUS"], command) for row in block(text)]
    shown = [row for example in command.examples for row in block("    " + example)]
    bodies["EXAMPLES"] = shown + bodies.get("EXAMPLES", [])
    bodies["SEE ALSO"] = see_also(command, names)
    for heading in ORDER:
        if bodies.get(heading):
            # A section's first paragraph needs no macro of its own.
            rows = bodies[heading][1:] if bodies[heading][0] == ".PP" else bodies[heading]
            page += [f".SH {heading}", *rows]
    return "\n".join(page) + "\n"
