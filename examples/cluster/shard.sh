#!/bin/sh
# One shard of a fleet: shard.sh K N LOGS OUT. Every machine sees LOGS and OUT under the same names (e.g. by NFS).
# A shard that was killed is started again by the same line and goes on where it was.
set -eu
coolband=${COOLBAND:-coolband}
number=$1 count=$2 logs=$3 out=$4
mkdir -p "$out/stores"
# 3 with a whole store: some logs could not be used. The merged summary tells which; the shard is done.
"$coolband" fleet "$logs" --shard "$number/$count" --bands "$out/bands" --store "$out/stores/$number" --wait --quiet \
  >/dev/null 2>"$out/stores/$number.err" || { [ $? -eq 3 ] && [ -e "$out/stores/$number/vehicles.list" ]; }
