#!/bin/sh
# Installs what is needed, builds with warnings as errors, and runs every test.
set -eu
here=$(cd "$(dirname "$0")/.." && pwd)
cd "$here"
sh examples/install-packages.sh tests
cmake -S . -B .build/tests -DCMAKE_BUILD_TYPE=Release -DCOOLBAND_BUILD_TESTS=ON -DCOOLBAND_DEVELOPER=ON \
  -DCOOLBAND_PRECOMPILE=ON -DCMAKE_UNITY_BUILD=ON -DCOOLBAND_ASSERTIONS=ON
cmake --build .build/tests --parallel "$(nproc)"
# One more than there are processors: a few tests mostly wait (for a browser, for a cluster).
ctest --test-dir .build/tests --output-on-failure --no-tests=error --parallel "$(($(nproc) + 1))"
