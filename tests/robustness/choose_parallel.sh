#!/usr/bin/env bash
# Runs a sweep's shards by GNU parallel, as the README says, and compares the results byte by byte with those of one
# process. Exit 77: parallel is not there.
#
#     choose_parallel.sh PROGRAM SOURCE_FOLDER
set -euo pipefail
program=$1 source=$2
if ! parallel --version 2>/dev/null | grep -q "GNU parallel"; then
    echo "skipped: GNU parallel is not installed (Debian: parallel)"
    exit 77
fi
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$work"
export HOME=$work PATH=$(dirname "$program"):$PATH # parallel keeps notes in HOME
"$source/tests/robustness/small_sweep.sh" "$source" >s.toml
pullcast choose s.toml --out alone >/dev/null 2>alone.log || { cat alone.log; exit 1; }

seq 4 | parallel -j 2 pullcast choose s.toml --threads 1 --out shared --shard {}/4 2>shards.log &&
    pullcast choose s.toml --out shared --merge shared.*-of-4.runs >/dev/null 2>merge.log || { cat ./*.log; exit 1; }
for name in choice.json combinations.csv runs.csv; do cmp alone/$name shared/$name; done
