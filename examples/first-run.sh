#!/bin/sh
# Installs what is needed, builds a release, and does the main job on the demo vehicle "warden-2":
# learns its normal band from nine drives (one of them faulty) and checks a tour.
# Where COOLBAND names a program already built, that one is used and nothing is installed or built.
set -eu
cd "$(dirname "$0")/.."
coolband=${COOLBAND:-.build/release/coolband}
if [ -z "${COOLBAND:-}" ]; then
  sh examples/install-packages.sh
  cmake -S . -B .build/release -DCMAKE_BUILD_TYPE=Release -DCOOLBAND_BUILD_TESTS=OFF -DCMAKE_UNITY_BUILD=ON >&2
  cmake --build .build/release --parallel "$(nproc)" >&2
fi

mkdir -p .build
band=.build/warden-2.band.json
"$coolband" learn data/demo/warden-2/normal/*.csv --vehicle warden-2 \
  --profile data/demo/warden-2.json --band "$band" --overwrite
echo
"$coolband" check data/demo/tour.csv --band "$band" --profile data/demo/warden-2.json
