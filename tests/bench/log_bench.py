# SPDX-License-Identifier: Apache-2.0
"""What one long log, and one trip of an hour, cost beside a yardstick over the same bytes, in one run.

    log_bench.py PROGRAM LOG [--rounds 5] [--yardstick 'limits parse LOG'] [--trip TRIP --band BAND]

In each round, one after the other: the yardstick (a command whose whole time counts; without one, reading all bytes), `inspect`,
`learn` and `check` of the log, and `check` of the trip by its band, if given. Told are medians, ranges, CPU time, peak memory, and
the ratios to the yardstick of the same round.
"""
import argparse
import pathlib
import shlex
import tempfile

from fleet_bench import timed, told


def one_round(options, folder):
    band = f"{folder}/band.json"
    yardstick = shlex.split(options.yardstick) or ["cat", options.log]
    runs = {"yardstick": timed(yardstick),
            "inspect": timed([options.program, "inspect", options.log, "--quiet"]),
            "learn": timed([options.program, "learn", options.log, "--vehicle", "bench", "--band", band, "--overwrite",
                            "--quiet"]),
            "check": timed([options.program, "check", options.log, "--band", band, "--quiet"])}
    if options.trip:
        runs["check a trip"] = timed([options.program, "check", options.trip, "--band", options.band, "--quiet"])
    return runs


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("program")
    parser.add_argument("log")
    parser.add_argument("--rounds", type=int, default=5)
    parser.add_argument("--yardstick", default="")
    parser.add_argument("--trip", default="")
    parser.add_argument("--band", default="")
    options = parser.parse_args()
    if options.trip and not (options.band and pathlib.Path(options.band).is_file()):
        parser.error("--trip needs the band to judge it by: --band FILE")
    with tempfile.TemporaryDirectory() as folder:
        one_round(options, folder)  # warms the files
        told([one_round(options, folder) for _ in range(options.rounds)])


if __name__ == "__main__":
    main()
