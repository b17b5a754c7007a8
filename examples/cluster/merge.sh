#!/bin/sh
# Puts the shards together when all are done: merge.sh N OUT. Ends with merge's exit code.
set -eu
coolband=${COOLBAND:-coolband}
count=$1 out=$2
set --
number=1
while [ "$number" -le "$count" ]; do
  set -- "$@" "$out/stores/$number"
  number=$((number + 1))
done
exec "$coolband" merge "$@" --overwrite --also "$out/fleet.html" --also "$out/fleet.csv" --also "$out/fleet.jsonl" \
  --also "$out/fleet.json" --output "$out/fleet.txt"
