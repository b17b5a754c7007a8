# SPDX-License-Identifier: Apache-2.0
"""Runs the program for every case of a folder and compares exit code, output and errors.

    run_golden.py PROGRAM CASE_FOLDER        compare
    COOLBAND_UPDATE_GOLDEN=1 run_golden.py … write what the program says now, for `git diff`

A case is one text file: remarks (`# …`), then for each command a line `$ …` as a shell would take
it, what it wrote to standard output (`| …`) and to standard error (`! …`), and `exit N`. Last
comes `files: …`, the files that the commands left behind. The command `yard FOLDER` makes a small fleet (yard.py). The commands run in an empty folder that
has `data` (the demo), `input` (bad input), `band` (freshly learned bands) and, for the groups that need
them, `drives` (before and after a repair, see drives.py) beside it.
"""
import difflib
import os
import pathlib
import subprocess
import sys
import tempfile

HERE = pathlib.Path(__file__).resolve().parent
SOURCE = HERE.parent.parent
GIVEN = {"bin", "data", "input", "band", "drives"}
NEED_DRIVES = {"verify", "history"}
NO_NEWLINE = b"\\ no newline at the end\n"


def environment(sandbox):
    # Nothing of the caller's environment may show in the output.
    return {"PATH": f"{sandbox}/bin:{os.environ['PATH']}", "LC_ALL": "C", "TZ": "UTC", "TERM": "dumb",
            "HOME": str(sandbox)}


def run(command, sandbox):
    return subprocess.run(["/bin/sh", "-c", command], cwd=sandbox, env=environment(sandbox),
                          stdin=subprocess.DEVNULL, capture_output=True, timeout=120)


def furnish(sandbox, program):
    (sandbox / "bin").mkdir()
    (sandbox / "bin" / "coolband").symlink_to(program)
    verdicts = sandbox / "bin" / "verdicts"
    verdicts.write_text(f'#!/bin/sh\nexec "{sys.executable}" "{HERE / "verdicts.py"}" "$@"\n')
    verdicts.chmod(0o755)
    yard = sandbox / "bin" / "yard"
    yard.write_text(f'#!/bin/sh\nexec "{sys.executable}" "{HERE / "yard.py"}" "{program}" "$@"\n')
    yard.chmod(0o755)
    (sandbox / "data").symlink_to(SOURCE / "data")
    (sandbox / "input").symlink_to(HERE / "input")
    (sandbox / "band").mkdir()


def learn_bands(folder):
    """The bands of the three demo vehicles, as text by name."""
    bands = {}
    for number in (1, 2, 3):
        name = f"warden-{number}"
        result = run(f"coolband learn data/demo/{name}/normal/* --vehicle {name} --profile "
                     f"data/demo/{name}.json --band band/{name}.json --quiet", folder)
        if result.returncode != 0:
            sys.exit(f"cannot learn the band of {name}:\n{result.stderr.decode()}")
        bands[name] = (folder / "band" / f"{name}.json").read_bytes()
    return bands


def make_drives(group, program, folder):
    """A folder of drives for a group that needs them, else none."""
    if group not in NEED_DRIVES:
        return None
    drives = pathlib.Path(folder) / "drives"
    drives.mkdir()
    subprocess.run([sys.executable, str(HERE / "drives.py"), str(program), str(drives)], check=True, timeout=300)
    return drives


def marked(mark, text):
    """The text with a mark before each line, so that no two outputs look alike."""
    if not text:
        return b""
    lines = text.split(b"\n")
    whole = lines.pop() == b""
    shown = lines if whole else text.split(b"\n")
    return b"".join(mark + line + b"\n" for line in shown) + (b"" if whole else NO_NEWLINE)


def left_behind(sandbox):
    names = (str(path.relative_to(sandbox)) for path in sandbox.rglob("*")
             if path.relative_to(sandbox).parts[0] not in GIVEN and not path.is_dir())
    return sorted(names)


def record(case, sandbox):
    """The case again, with what its commands do now."""
    lines = case.read_text(encoding="utf-8").splitlines()
    text = b"".join(f"{line}\n".encode() for line in lines if line.startswith("#"))
    commands = [line[2:] for line in lines if line.startswith("$ ")]
    if not commands:
        sys.exit(f"{case}: no command")
    for command in commands:
        result = run(command, sandbox)
        text += f"$ {command}\n".encode() + marked(b"| ", result.stdout)
        text += marked(b"! ", result.stderr) + f"exit {result.returncode}\n".encode()
    files = left_behind(sandbox)
    return text + (f"files: {' '.join(files)}\n".encode() if files else b"")


def check(case, program, bands, drives):
    """True when the case holds (or was updated)."""
    with tempfile.TemporaryDirectory() as folder:
        sandbox = pathlib.Path(folder)
        furnish(sandbox, program)
        if drives:
            (sandbox / "drives").symlink_to(drives)
        for name, band in bands.items():
            (sandbox / "band" / f"{name}.json").write_bytes(band)
        now = record(case, sandbox)
    wanted = case.read_bytes()
    if now == wanted:
        return True
    if os.environ.get("COOLBAND_UPDATE_GOLDEN"):
        case.write_bytes(now)
        print(f"updated {case.name}")
        return True
    print(f"--- {case.relative_to(SOURCE)} differs")
    difference = difflib.unified_diff(wanted.decode("utf-8", "backslashreplace").splitlines(),
                                      now.decode("utf-8", "backslashreplace").splitlines(),
                                      "expected", "now", lineterm="")
    print("\n".join(difference))
    return False


def main():
    if len(sys.argv) != 3:
        sys.exit("usage: run_golden.py PROGRAM CASE_FOLDER")
    program = pathlib.Path(sys.argv[1]).resolve()
    cases = sorted(pathlib.Path(sys.argv[2]).resolve().glob("*.case"))
    if not cases:
        sys.exit(f"no cases in {sys.argv[2]}")
    with tempfile.TemporaryDirectory() as folder:
        furnish(pathlib.Path(folder), program)
        bands = learn_bands(pathlib.Path(folder))
        drives = make_drives(cases[0].parent.name, program, folder)
        failed = [case for case in cases if not check(case, program, bands, drives)]
    print(f"{len(cases) - len(failed)} of {len(cases)} cases hold")
    if failed:
        print("if the change is meant: COOLBAND_UPDATE_GOLDEN=1 ctest -R golden, then git diff")
    sys.exit(1 if failed else 0)


if __name__ == "__main__":
    main()
