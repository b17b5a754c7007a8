#!/bin/sh
# A logger writes the demo tour, a few minutes of it at a time; the log is kept and watched.
# COOLBAND names the program; without it the one that first-run.sh built is used.
set -eu
cd "$(dirname "$0")/.."
coolband=${COOLBAND:-.build/release/coolband}
log=$(mktemp)
trap 'rm -f "$log"' EXIT

# Ten pieces of a drive that is over, an eighth of a second apart.
logger() {
  lines=$(wc -l < data/demo/tour.csv)
  piece=$((lines / 10 + 1))
  first=1
  while [ "$first" -le "$lines" ]; do
    sed -n "$first,$((first + piece - 1))p" data/demo/tour.csv
    first=$((first + piece))
    sleep 0.125
  done
}

# A line when something changes, and the verdict when the logger ends.
logger | tee "$log" | "$coolband" watch - --profile data/demo/warden-2.json
