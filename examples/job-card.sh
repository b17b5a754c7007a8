#!/bin/sh
# The workshop: a report with the job's own fields, as JSON for scripts, as a page of HTML to print or to send, and as
# text; and the plan of the job as a page with boxes to tick.
#   job-card.sh [OUT]
# COOLBAND names the program; without it the one that first-run.sh built is used.
set -eu
cd "$(dirname "$0")/.."
coolband=${COOLBAND:-.build/release/coolband}
out=${1:-.build/job-card}
mkdir -p "$out"
"$coolband" learn data/demo/warden-1/normal/* --vehicle warden-1 --profile data/demo/warden-1.json \
  --band "$out/warden-1.band.json" --overwrite -o "$out/learned.txt"
for format in json html text; do
  "$coolband" check data/demo/warden-1/trips/stuck-open.jsonl --band "$out/warden-1.band.json" \
    --profile data/demo/warden-1.json --job number=A-12 --job complaint="heater stays cold" --format "$format" -o "$out/report.$format" --overwrite
done
"$coolband" plan "$out/report.json" --profile data/demo/warden-1.json --format html -o "$out/plan.html" --overwrite
echo "the job, with boxes to tick: $out/plan.html"
echo "attach to the job card: $out/report.html (for scripts: $out/report.json)"
sed -n '/^VERDICT/,/^TRIP/{/^TRIP/!p}' "$out/report.text"
