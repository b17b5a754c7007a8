#!/bin/sh
# For demos, training and tests: one INVENTED drive of a Tarn Vale ranger, simulated sound and again
# with a thermostat that hangs open from minute 25 on, and what coolband says of each log.
#   simulate-a-fault.sh [OUT]
# COOLBAND names the program; without it the one that first-run.sh built is used.
set -eu
cd "$(dirname "$0")/.."
coolband=${COOLBAND:-.build/release/coolband}
out=${1:-.build/simulate-a-fault}
mkdir -p "$out"
cat > "$out/moor.json" <<'SCENARIO'
{
  "schema": "coolband.scenario/1",
  "name": "a morning on the moor",
  "note": "INVENTED: there is no Tarn Vale, no such ranger and no such vehicle",
  "seed": 7,
  "vehicle": {
    "engine": {"rated_power_kw": 92},
    "thermostat": {"opens_c": 76, "full_open_c": 89},
    "cooling": {"capacity_l": 11.5, "cap_kpa": 95, "fan": "viscous"}
  },
  "weather": {"ambient_c": 13},
  "route": [
    {"kind": "town", "minutes": 10},
    {"kind": "road", "minutes": 15},
    {"kind": "climb", "minutes": 8, "trailer_kg": 700},
    {"kind": "road", "minutes": 27}
  ],
  "faults": [{"kind": "thermostat-stuck-open", "from_s": 1500}],
  "logging": {"period_s": 2}
}
SCENARIO

# The same drive twice: severity 0 is the fault left out.
"$coolband" simulate "$out/moor.json" --severity 0 -o "$out/sound.csv" --overwrite
"$coolband" simulate "$out/moor.json" -o "$out/stuck-open.csv" --overwrite
for drive in sound stuck-open; do
  "$coolband" check "$out/$drive.csv" --profile data/demo/warden-2.json -o "$out/$drive.txt" --overwrite
  echo "== $drive (the report: $out/$drive.txt)"
  sed -n '/^VERDICT/,/^TRIP/{/^TRIP/!p}' "$out/$drive.txt"
done
