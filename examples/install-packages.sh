#!/bin/sh
# Installs what coolband needs from Debian's own packages; with "tests" also what its tests need, with "packages" what
# making packages needs.
# Does nothing where all of it is there. Needs root, or sudo.
set -eu
packages="g++ cmake make python3 libcli11-dev libfmt-dev nlohmann-json3-dev libeigen3-dev zlib1g-dev"
case "${1:-}" in
  tests) packages="$packages doctest-dev locales python3-jsonschema pkgconf dpkg-dev mandoc zsh fish lintian" ;;
  packages) packages="$packages dpkg-dev" ;;
esac

missing=""
for package in $packages; do
  dpkg-query -W -f '${Status}' "$package" 2>/dev/null | grep -q 'ok installed' || missing="$missing $package"
done
[ -n "$missing" ] || exit 0

as_root=""
if [ "$(id -u)" -ne 0 ]; then as_root="sudo"; fi
echo "installing:$missing" >&2
$as_root env DEBIAN_FRONTEND=noninteractive apt-get update -qq >&2
# shellcheck disable=SC2086 # one word a package is meant
$as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends $missing >&2
