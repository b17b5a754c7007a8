#!/bin/sh
# The fleet's night: learn a band for every vehicle that has none yet, check every trip, and print
# the trips that call for a workshop, worst first. A log that cannot be read harms no other.
#   nightly-batch.sh [FLEET [OUT]]   FLEET/VEHICLE/normal/* and FLEET/VEHICLE/trips/*
# COOLBAND names the program; without it the one that first-run.sh built is used.
set -eu
cd "$(dirname "$0")/.."
coolband=${COOLBAND:-.build/release/coolband}
fleet=${1:-data/demo}
out=${2:-.build/nightly}
mkdir -p "$out"

for folder in "$fleet"/*/; do
  vehicle=$(basename "$folder")
  band=$out/$vehicle.band.json
  profile=""
  if [ -f "$fleet/$vehicle.json" ]; then profile="--profile $fleet/$vehicle.json"; fi
  # shellcheck disable=SC2086 # the profile option is two words, or none
  [ -f "$band" ] || "$coolband" learn "$folder"normal/* --vehicle "$vehicle" --band "$band" $profile -o "$out/$vehicle.learned.txt" --overwrite
  status=0
  # shellcheck disable=SC2086
  "$coolband" check "$folder"trips/* --band "$band" $profile --format jsonl -o "$out/$vehicle.jsonl" --overwrite || status=$?
  # 3: a log could not be read, which was said on standard error; the others are done.
  if [ "$status" -ne 0 ] && [ "$status" -ne 3 ]; then exit "$status"; fi
done

for action in stop service; do
  # One report a line, keys in a fixed order: enough for grep and sed.
  cat "$out"/*.jsonl | grep "\"action\":\"$action\"" |
    sed -n 's/.*"trip":{"source":"\([^"]*\)".*"action":"\([^"]*\)","headline":"\([^"]*\)".*/\2  \1  \3/p'
done
