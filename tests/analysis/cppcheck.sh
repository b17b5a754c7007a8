#!/bin/sh
# SPDX-License-Identifier: Apache-2.0
# cppcheck (Debian's, 2.10) over the library and the program: exits 1 when it finds anything.
set -eu
cd "$(dirname "$0")/../.."
exec cppcheck -j1 --quiet --std=c++20 --language=c++ --enable=warning,performance,portability \
  --suppressions-list=tests/analysis/cppcheck-suppressions.txt --error-exitcode=1 \
  --template='{file}:{line}: {severity}: {id}: {message}' -I include -I src src include
