#!/usr/bin/env bash
# Bars on work, in instructions as a simulated processor counts them: the same on a busy machine and on a quiet one.
set -euo pipefail
cd "$(dirname "$0")/.."
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
command -v valgrind >/dev/null || {
    export DEBIAN_FRONTEND=noninteractive
    apt-get update -q >/dev/null 2>&1 && apt-get install -y -q --no-install-recommends valgrind >/dev/null 2>&1 || true
}
command -v valgrind >/dev/null || { echo "NOT COUNTED: no valgrind here"; exit 0; }
program=$(cargo bench --locked --bench log --no-run 2>&1 | sed -n 's/.*Executable.*(\(.*\))/\1/p')
[ -x "$program" ] || { echo "the bench was not built"; exit 1; }

# Instructions of one function and all that it calls: counted FUNCTION
counted() {
    valgrind --tool=callgrind --toggle-collect="*$1*" --callgrind-out-file="$work/out" "$program" once 2>"$work/said" >/dev/null
    sed -n 's/.*Collected : //p' "$work/said"
}
alone=$(counted rows_alone)
whole=$(counted whole_day)
echo "a logger's day of 86,400 rows: $whole instructions, its rows alone $alone"
[ "$alone" -gt 100000000 ] || { echo "that is no reading of 86,400 rows"; exit 1; }
[ "$whole" -le $((2 * alone)) ] || { echo "more than reading it twice"; exit 1; }
