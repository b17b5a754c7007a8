#!/bin/sh
# After the tour: pipe the trip through. Nothing but the log and a profile is known of the vehicle.
# COOLBAND names the program; without it the one that first-run.sh built is used.
set -eu
cd "$(dirname "$0")/.."
coolband=${COOLBAND:-.build/release/coolband}
"$coolband" check --profile data/demo/warden-2.json < data/demo/tour.csv
