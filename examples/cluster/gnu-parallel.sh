#!/bin/sh
# A fleet on several machines by GNU Parallel (Debian: parallel).
#   gnu-parallel.sh N LOGS OUT [HOSTS]     HOSTS: 2/anna,2/berta are two jobs on each of two hosts by ssh; ':' is this machine
# A shard that failed is tried three times; the lines of --joblog tell where each one ran.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
count=$1 logs=$2 out=$3 hosts=${4:-:}
COOLBAND=${COOLBAND:-coolband}
export COOLBAND
mkdir -p "$out"
seq "$count" | parallel --sshlogin "$hosts" --env COOLBAND --workdir "$PWD" --retries 3 --joblog "$out/jobs.log" \
  sh "$here/shard.sh" {} "$count" "$logs" "$out"
exec sh "$here/merge.sh" "$count" "$out"
