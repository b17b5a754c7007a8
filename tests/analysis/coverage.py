# SPDX-License-Identifier: Apache-2.0
"""How much of the code the tests run: lines and branches by folder, from what gcov counted.

    coverage.py BUILD [--least PERCENT] [--missed FOLDER]

BUILD was configured with -DCOOLBAND_COVERAGE=ON, and its tests have run. Lines are those of src/ and include/, with
what the compiler makes of no line left out. A branch is a way out of a condition; those that only an exception takes
are not counted. --least ends with 1 when a folder of the core (core to repair) has fewer of its lines run.
--missed lists the lines of a folder that nothing ran.
"""
import argparse
import collections
import concurrent.futures
import gzip
import json
import os
import pathlib
import subprocess
import sys
import tempfile

SOURCE = pathlib.Path(__file__).resolve().parent.parent.parent
FOLDERS = ("core", "numeric", "import", "condition", "segment", "circuit", "band", "diagnose", "(top)", "repair",
           "report", "fleet", "cli")
CORE = FOLDERS[:FOLDERS.index("repair") + 1]


def folder_of(file):
    """The folder below src/ or include/coolband/; None for what is not ours."""
    for root in (SOURCE / "src", SOURCE / "include" / "coolband"):
        if file.is_relative_to(root):
            parts = file.relative_to(root).parts
            return parts[0] if len(parts) > 1 else "(top)"
    return None


def counted(count_file):
    """What gcov tells of one object, as JSON."""
    with tempfile.TemporaryDirectory() as folder:
        done = subprocess.run(["gcov", "--json-format", "--branch-probabilities", str(count_file)], cwd=folder,
                              stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, check=False)
        results = list(pathlib.Path(folder).glob("*.gcov.json.gz"))
        if done.returncode or not results:
            sys.exit(f"gcov cannot read {count_file}: {done.stderr.decode(errors='replace')}")
        return [json.loads(gzip.decompress(path.read_bytes())) for path in results]


class Tally:
    """Lines and branches of all objects: a line of a header counts once, however many objects have it."""

    def __init__(self):
        self.lines = collections.defaultdict(int)     # (file, line): times
        self.branches = collections.defaultdict(int)  # (file, line, number): times

    def add(self, result):
        base = pathlib.Path(result["current_working_directory"])
        for entry in result["files"]:
            file = pathlib.Path(os.path.normpath(base / entry["file"]))
            if folder_of(file) is None:
                continue
            for line in entry["lines"]:
                self.lines[file, line["line_number"]] += line["count"]
                ways = [branch for branch in line["branches"] if not branch["throw"]]
                for number, branch in enumerate(ways):
                    self.branches[file, line["line_number"], number] += branch["count"]

    def share(self, counts, folders):
        mine = [times for place, times in counts.items() if folder_of(place[0]) in folders]
        return sum(1 for times in mine if times), len(mine)


def tally_of(build):
    files = sorted((build / "src").rglob("*.gcda"))
    if not files:
        sys.exit(f"{build}: nothing was counted here; configure with -DCOOLBAND_COVERAGE=ON, build and run the tests")
    # An object that nothing ran into has no counts: all of it was missed.
    files += [note for note in sorted((build / "src").rglob("*.gcno")) if not note.with_suffix(".gcda").exists()]
    tally = Tally()
    with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
        for results in pool.map(counted, files):
            for result in results:
                tally.add(result)
    return tally


def percent(run, all_of_them):
    return 100.0 * run / all_of_them if all_of_them else 100.0


def row(name, tally, folders):
    lines, branches = tally.share(tally.lines, folders), tally.share(tally.branches, folders)
    print(f"{name:<12} {percent(*lines):6.1f} % of {lines[1]:6} lines   {percent(*branches):6.1f} % of {branches[1]:6} "
          "branches")
    return percent(*lines)


def show_missed(tally, folder):
    for (file, line), times in sorted(tally.lines.items()):
        if folder_of(file) == folder and not times:
            print(f"{file.relative_to(SOURCE)}:{line}")


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("build", type=pathlib.Path)
    parser.add_argument("--least", type=float, default=0.0)
    parser.add_argument("--missed", choices=FOLDERS)
    options = parser.parse_args()
    tally = tally_of(options.build.resolve())
    if options.missed:
        return show_missed(tally, options.missed)
    low = [folder for folder in FOLDERS if row(folder, tally, (folder,)) < options.least and folder in CORE]
    row("the core", tally, CORE)
    row("all", tally, FOLDERS)
    for folder in low:
        print(f"{folder}: fewer than {options.least:g} % of the lines are run", file=sys.stderr)
    return 1 if low else 0


if __name__ == "__main__":
    sys.exit(main())
