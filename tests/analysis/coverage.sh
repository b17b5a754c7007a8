#!/bin/sh
# SPDX-License-Identifier: Apache-2.0
# How much of the code the tests run: builds without optimisation, runs the tests, prints lines and branches by folder.
#   coverage.sh [BUILD]
set -eu
cd "$(dirname "$0")/../.."
build=${1:-.build/coverage}
cmake -S . -B "$build" -DCMAKE_BUILD_TYPE=Release -DCOOLBAND_BUILD_TESTS=ON -DCOOLBAND_COVERAGE=ON
cmake --build "$build" --parallel "$(nproc)" --target coolband_program unit_tests reference_tests column_facts
find "$build" -name '*.gcda' -delete
ctest --test-dir "$build" --output-on-failure \
  -R '^(unit|reference|golden_.*|rules|simulated|watch|demo|schema|pages|fleet|merge|faults_.*|formats)$'
python3 tests/analysis/coverage.py "$build" --least 90
