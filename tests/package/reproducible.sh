#!/bin/sh
# Builds the packages twice, in folders, umasks, time zones and locales of their own, and compares them byte for byte.
# By hand: two whole builds take long.
set -eu
source=$(cd "$(dirname "$0")/../.." && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

build() { # FOLDER UMASK TZ LOCALE
  mkdir -p "$work/$1/build" && (cd "$source" && git archive HEAD) | tar -x -C "$work/$1" -f -
  (
    umask "$2"
    export TZ="$3" LC_ALL="$4"
    cd "$work/$1"
    cmake -S . -B build -DCMAKE_BUILD_TYPE=Release -DCMAKE_INSTALL_PREFIX=/usr -DCOOLBAND_BUILD_TESTS=OFF -DCMAKE_UNITY_BUILD=ON
    cmake --build build --parallel "${COOLBAND_JOBS:-$(nproc)}"
    cd build && cpack -G DEB
  ) > "$work/log" 2>&1 || { tail -20 "$work/log"; exit 1; }
}

build one 022 UTC C
build another/place/further/down 077 Asia/Tokyo C.UTF-8
status=0
for file in "$work"/one/build/*.deb "$work/one/build/coolband" "$work/one/build/src/libcoolband.a"; do
  name=${file#"$work/one/"}
  if cmp -s "$file" "$work/another/place/further/down/$name"; then
    echo "the same twice: $name $(sha256sum "$file" | cut -c1-16)"
  else
    echo "differs: $name"
    status=1
  fi
done
exit $status
