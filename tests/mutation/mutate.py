# SPDX-License-Identifier: Apache-2.0
"""Puts deliberate faults into the core, one at a time, and counts how many the tests catch.

    mutate.py WORK [--only TEXT] [--faults FILE] [--jobs N] [--unchecked]

Works on a copy of the sources that git knows, in WORK/source, with its own build in WORK/source/build; the
sources here are never touched. The tests that are nearest to the fault run first, and the first that fails
ends it. WORK can be used again: what is built stays. Results are added to WORK/results.txt as they come,
and what stands there is not run again. Exit 0 when all faults were tried, 1 when the tests fail without any
(which --unchecked does not look at).
"""
import argparse
import collections
import os
import pathlib
import re
import shutil
import signal
import subprocess
import sys

SOURCE = pathlib.Path(__file__).resolve().parent.parent.parent
SECONDS = 3600
# What is quick to run comes first, and what takes most of the time of all unit tests last.
QUICK = "^golden_(learn|check|inspect|input|coolant|simulate|plan)$"
WIDE = "^(golden_(verify|history|options|fleet)|rules|simulated|formats|properties_.*)$"
SLOW = ["every candidate's own drive*", "conditions that do nothing earn no place*", "the worse it is, the clearer",
        "odd blocks*", "a sound drive is accounted for by no fault", "a thousand drives in a hundred nights*",
        "the effect of load and its lag are found", "a lag is bounded*", "parameters far from the usual*"]

Fault = collections.namedtuple("Fault", "file what old new")


def read_faults(path):
    faults = []
    for block in re.split(r"\n\n+", path.read_text(encoding="utf-8").strip()):
        lines = [line for line in block.splitlines() if not line.startswith("#")]
        if not lines:
            continue
        head = re.fullmatch(r"@ (\S+): (.+)", lines[0])
        old = [line[2:] for line in lines[1:] if line.startswith("- ")]
        new = [line[2:] for line in lines[1:] if line.startswith("+ ")]
        if not head or len(lines) != 1 + len(old) + len(new) or not old:
            sys.exit(f"{path}: cannot read\n{block}")
        faults.append(Fault(head[1], head[2], "\n".join(old), "\n".join(new)))
    return faults


def name_of(fault):
    return f"{fault.file}: {fault.what}: {fault.old} -> {fault.new}"


def copy_sources(to):
    """As git knows them here; a file that is the same keeps its time, so that it is not built again."""
    names = subprocess.run(["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"], cwd=SOURCE,
                           check=True, capture_output=True).stdout.decode().split("\0")
    for name in filter(None, names):
        here, there = SOURCE / name, to / name
        if not here.exists() or (there.exists() and there.read_bytes() == here.read_bytes()):
            continue
        there.parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(here, there)


class Bench:
    def __init__(self, work, jobs):
        self.source = work / "source"
        self.build = self.source / "build"
        self.jobs = jobs
        self.environment = dict(os.environ, CCACHE_BASEDIR=str(self.source))

    def run(self, *command):
        """True when it went well. Nothing waits for ever: a fault that hangs is caught."""
        try:
            return subprocess.run(command, cwd=self.source, env=self.environment, timeout=SECONDS,
                                  stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=False).returncode == 0
        except subprocess.TimeoutExpired:
            return False

    def configure(self):
        ccache = ["-DCMAKE_CXX_COMPILER_LAUNCHER=ccache"] if shutil.which("ccache") else []
        if not self.run("cmake", "-S", ".", "-B", "build", "-G", "Ninja", "-DCOOLBAND_DEVELOPER=ON",
                        "-DCOOLBAND_HARDEN=OFF", *ccache):
            sys.exit("cmake failed")

    def built(self, target):
        return self.run("ninja", "-C", str(self.build), f"-j{self.jobs}", target)

    def unit(self, *filters):
        return self.run(str(self.build / "tests/unit_tests"), "--abort-after=1", *filters)

    def tests(self, pattern):
        return self.run("ctest", "--test-dir", str(self.build), "--stop-on-failure", "-R", pattern)

    def stages(self, folder):
        """What is built, what is run, and its name."""
        slow = ",".join(name.replace(",", "\\,") for name in SLOW)
        yield "unit_tests", lambda: self.unit(f"-sf=*unit/{folder}/*", f"-tce={slow}"), f"unit tests of {folder}"
        yield "coolband_program", lambda: self.tests(QUICK), "golden cases"
        yield "unit_tests", lambda: self.unit(f"-sfe=*unit/{folder}/*", f"-tce={slow}"), "other unit tests"
        yield "coolband_program", lambda: self.tests(WIDE), "other tests of the program"
        yield "reference_tests", lambda: self.run(str(self.build / "tests/reference_tests"),
                                                  "--abort-after=1"), "reference tests"
        yield "unit_tests", lambda: self.unit(f"-tc={slow}"), "slow unit tests"

    def catcher(self, folder):
        """Which tests fail first: '' for none, None when it does not compile."""
        for target, passes, name in self.stages(folder):
            if not self.built(target):
                return None
            if not passes():
                return name
        return ""


def try_fault(bench, fault):
    path = bench.source / fault.file
    text = path.read_text(encoding="utf-8")
    if text.count(fault.old) != 1:
        return "stale: its text is not once in the file"
    try:
        path.write_text(text.replace(fault.old, fault.new), encoding="utf-8")
        by = bench.catcher(fault.file.split("/")[1])
    finally:
        path.write_text(text, encoding="utf-8")
    if by is None:
        return "refused by the compiler"
    return f"caught by {by}" if by else "SURVIVED"


def results_of(path):
    if not path.exists():
        return {}
    lines = path.read_text(encoding="utf-8").splitlines()
    return dict(reversed(line.split("\t", 1)) for line in lines)


def summary(results):
    counts = collections.Counter(result for result in results.values())
    for result, count in sorted(counts.items()):
        print(f"{count:4}  {result}")
    caught = sum(n for result, n in counts.items() if result.startswith("caught"))
    tried = caught + counts["SURVIVED"]
    if tried:
        print(f"{caught} of {tried} faults caught ({100 * caught / tried:.0f} %)")
    for name, result in results.items():
        if result == "SURVIVED":
            print(f"survived: {name}")


def main():
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("work", type=pathlib.Path)
    options.add_argument("--only", default="", help="faults whose line has this text")
    options.add_argument("--faults", type=pathlib.Path, default=pathlib.Path(__file__).with_name("faults.txt"))
    options.add_argument("--jobs", type=int, default=os.cpu_count())
    options.add_argument("--unchecked", action="store_true", help="trust that the tests hold without a fault")
    given = options.parse_args()
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(143))  # what is changed is put back
    work = given.work.resolve()
    work.mkdir(parents=True, exist_ok=True)
    faults = [fault for fault in read_faults(given.faults) if given.only in name_of(fault)]
    bench = Bench(work, given.jobs)
    copy_sources(bench.source)
    bench.configure()
    if not given.unchecked and bench.catcher("core") != "":
        sys.exit("the tests fail, or do not build, without any fault")
    kept = work / "results.txt"
    results = {}
    for fault in faults:
        name = name_of(fault).replace("\n", " ")
        before = results_of(kept)
        results[name] = before.get(name) or try_fault(bench, fault)
        if name not in before:
            with kept.open("a", encoding="utf-8") as file:
                file.write(f"{results[name]}\t{name}\n")
            print(f"{results[name]:40} {name}", flush=True)
    summary(results)


if __name__ == "__main__":
    main()
