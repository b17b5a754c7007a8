#!/bin/sh
# A drive that never was: the same route with a sound thermostat and with one that hangs open, judged.
#   simulate-a-fault.sh [OUT]
# COOLBAND names the program; without it the one that first-run.sh built is used.
set -eu
cd "$(dirname "$0")/.."
coolband=${COOLBAND:-.build/release/coolband}
out=${1:-.build/simulated}
mkdir -p "$out"
cat > "$out/scenario.json" <<'SCENARIO'
{
  "schema": "coolband.scenario/1",
  "name": "INVENTED: warden-2 of Tarn Vale over the pass with a trailer",
  "vehicle": {"thermostat": {"opens_c": 76, "full_open_c": 89}},
  "weather": {"ambient_c": 9},
  "route": [
    {"kind": "town", "minutes": 6},
    {"kind": "road", "minutes": 20},
    {"kind": "climb", "minutes": 8, "trailer_kg": 600},
    {"kind": "stop", "minutes": 1},
    {"kind": "descent", "minutes": 6},
    {"kind": "road", "minutes": 10}
  ],
  "faults": [{"kind": "thermostat-stuck-open", "severity": 1}],
  "seed": 5
}
SCENARIO
for severity in 0 1; do
  "$coolband" simulate "$out/scenario.json" --severity $severity -o "$out/$severity.csv" --overwrite
  "$coolband" check "$out/$severity.csv" --profile data/demo/warden-2.json |
    sed -n '/^VERDICT/,/^DO NEXT/{/^DO NEXT/!p}'
done
