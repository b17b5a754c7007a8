# SPDX-License-Identifier: Apache-2.0
"""One line a report of a JSON-lines file: enough to see that a verdict changed."""
import json
import sys


def number(value):
    return "-" if value is None else f"{value:.3f}"


with open(sys.argv[1], encoding="utf-8") as file:
    for line in file:
        report = json.loads(line)
        verdict = report["verdict"]
        source = report["trip"]["source"].removeprefix("data/demo/")
        print(f"{source:<32} {report['band']['origin']:<8} {verdict['condition']:<24}"
              f"{verdict['action']:<8} confidence {number(verdict['confidence'])}"
              f"  in band {number(report['regulation']['share_in_band'])}"
              f"  episodes {len(report['episodes'])}")
