#!/bin/sh
# A fleet's night for cron: judge what is new or changed, keep results in a store, write the overview page, and print a
# summary short enough for a mail: who needs attention first, what has changed, which logs could not be used.
#   fleet-nightly.sh [LOGS [OUT]]    LOGS/VEHICLE/*: one folder a vehicle; results go to OUT
#   crontab: 30 2 * * * /path/to/examples/fleet-nightly.sh /srv/logs /srv/cooling
# It may be killed at any moment, or be started while another one runs (it waits): the next run goes on where it was.
# COOLBAND names the program; without it the one that first-run.sh built is used.
set -eu
cd "$(dirname "$0")/.."
coolband=${COOLBAND:-.build/release/coolband}
logs=${1:-data/demo}
out=${2:-.build/fleet}
mkdir -p "$out"

# 1: a vehicle must stop; 3: a log could not be used; all others are done, and the summary says so.
status=0
"$coolband" fleet "$logs" --bands "$out/bands" --store "$out/store" --wait --pages "$out/pages" --quiet --overwrite \
  --also "$out/fleet.html" --also "$out/fleet.csv" --also "$out/fleet.jsonl" --fail-on stop || status=$?
exit "$status"
