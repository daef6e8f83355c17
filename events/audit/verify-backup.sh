#!/bin/sh
# Check a backup with plain tools: unzip compares its checksums, sha256sum every
# file with the backup's own list, verify.py every hash of every history; the
# digest must be the one the backup states.
#
# usage: verify-backup.sh backup.zip
set -eu
here=$(dirname "$0")
dir=$(mktemp -d)
trap 'rm -rf "$dir"' EXIT
unzip -q "$1" -d "$dir"
(cd "$dir" && sha256sum --quiet --strict -c SHA256SUMS)
said=$(python3 "$here/verify.py" "$dir/events.jsonl")
grep -q "\"digest\":\"${said##* }\"" "$dir/about.json" || { echo "the digest is not the one that the backup states" >&2; exit 1; }
echo "$said"
