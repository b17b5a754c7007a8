# SPDX-License-Identifier: Apache-2.0
"""make_demo.py writes the logs of data/demo again, byte for byte: demo_test.py COOLBAND."""
import pathlib
import subprocess
import sys
import tempfile

SOURCE = pathlib.Path(__file__).resolve().parent.parent.parent
DEMO = SOURCE / "data" / "demo"
BY_HAND = {"README.md", "make_demo.py", "warden-1.json", "warden-2.json", "warden-3.json"}


def files_below(folder):
    return {str(path.relative_to(folder)): path.read_bytes()
            for path in folder.rglob("*") if path.is_file()}


def first_difference(a, b):
    lines = zip(a.split(b"\n"), b.split(b"\n"))
    for number, (x, y) in enumerate(lines, 1):
        if x != y:
            return f"line {number}: {x[:120]!r} was made, {y[:120]!r} is there"
    return "one goes on where the other ends"


def main():
    if len(sys.argv) != 2:
        sys.exit("usage: demo_test.py COOLBAND")
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run([sys.executable, str(DEMO / "make_demo.py"), sys.argv[1], folder],
                       check=True, timeout=300)
        made = files_below(pathlib.Path(folder))
    kept = {name: text for name, text in files_below(DEMO).items()
            if name not in BY_HAND and not name.startswith("__pycache__")}
    complaints = [f"{name}: made, but not in data/demo" for name in made.keys() - kept.keys()]
    complaints += [f"{name}: in data/demo, but not made" for name in kept.keys() - made.keys()]
    complaints += [f"{name}: {first_difference(made[name], kept[name])}"
                   for name in made.keys() & kept.keys() if made[name] != kept[name]]
    print("\n".join(sorted(complaints)) or f"{len(made)} files are the same, byte for byte")
    sys.exit(1 if complaints or not made else 0)


if __name__ == "__main__":
    main()
