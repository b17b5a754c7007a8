# SPDX-License-Identifier: Apache-2.0
"""What a fleet's run costs, beside a yardstick over the same files, in one run.

    fleet_bench.py PROGRAM FLEET [--rounds 5] [--yardstick 'limits fleetparse FLEET 2']

FLEET holds one folder a vehicle. In each round, one after the other: the yardstick (a command whose whole time counts; without
one, reading all bytes), a first run that learns every band and judges every trip into a new store, and a run with
nothing new. Told are medians, ranges, CPU time, peak memory, and the ratios to the yardstick of the same round.
"""
import argparse
import os
import pathlib
import resource
import shlex
import statistics
import subprocess
import sys
import tempfile
import time


def read_all(folder):
    for path in pathlib.Path(folder).rglob("*"):
        if path.is_file():
            with open(path, "rb") as file:
                while file.read(1 << 20):
                    pass


def timed(arguments):
    """Wall s, CPU s, peak MiB of a command."""
    before = time.monotonic()
    process = subprocess.Popen(arguments, stdout=subprocess.DEVNULL)
    _, status, usage = os.wait4(process.pid, 0)
    wall = time.monotonic() - before
    if os.waitstatus_to_exitcode(status) not in (0, 1):
        sys.exit(f"{arguments}: failed")
    return wall, usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1024


def yardstick(command, fleet):
    if command:
        return timed(shlex.split(command))
    before, cpu = time.monotonic(), resource.getrusage(resource.RUSAGE_SELF)
    read_all(fleet)
    after = resource.getrusage(resource.RUSAGE_SELF)
    used = after.ru_utime + after.ru_stime - cpu.ru_utime - cpu.ru_stime
    return time.monotonic() - before, used, 0.0


def one_round(options):
    with tempfile.TemporaryDirectory(dir=options.scratch) as folder:
        run = [options.program, "fleet", options.fleet, "--bands", f"{folder}/bands", "--store", f"{folder}/store",
               "--quiet", *options.more]
        return {"yardstick": yardstick(options.yardstick, options.fleet), "first run": timed(run),
                "nothing new": timed(run)}


def told(rounds):
    for name in rounds[0]:
        walls, cpus, peaks = zip(*(r[name] for r in rounds))
        ratios = [r[name][0] / r["yardstick"][0] for r in rounds]
        cpu_ratios = [r[name][1] / r["yardstick"][1] for r in rounds]
        print(f"{name:12} wall {statistics.median(walls):7.3f} s ({min(walls):.3f}-{max(walls):.3f})  CPU "
              f"{statistics.median(cpus):7.3f} s  peak {max(peaks):6.1f} MiB  to the yardstick: wall "
              f"{statistics.median(ratios):6.2f}  CPU {statistics.median(cpu_ratios):6.2f}")


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("program")
    parser.add_argument("fleet")
    parser.add_argument("--rounds", type=int, default=5)
    parser.add_argument("--yardstick", default="")
    parser.add_argument("--scratch", help="folder for stores")
    parser.add_argument("more", nargs="*", help="options of the fleet, after --")
    options = parser.parse_args()
    one_round(options)  # warms the files
    told([one_round(options) for _ in range(options.rounds)])


if __name__ == "__main__":
    main()
