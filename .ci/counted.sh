#!/usr/bin/env bash
# Bars on work, in instructions as a simulated processor counts them: the same on a busy machine and on a quiet one.
# STEADYFALL_WRITE=1 keeps the counts of the samples anew. A commit's name besides (`bash .ci/counted.sh 64c27c1`) tells what share of that commit's work is left.
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

# Instructions of a whole demo: samples PROGRAM, a line a sample
samples() {
    local program=$1 sample
    for sample in metric us; do
        mkdir -p "$work/run"
        (cd "$work/run" && valgrind --tool=cachegrind --cache-sim=no --cachegrind-out-file=/dev/null "$program" demo --sample "$sample" 2>&1 >/dev/null) |
            sed -n "s/.*I *refs: */$sample,/p" | sed 's/,\([0-9]\)/ \1/;s/,//g;s/ /,/'
        rm -rf "$work/run"
    done
}
target=${CARGO_TARGET_DIR:-target}
cargo build --locked -q --release
samples "$(realpath "$target/release/steadyfall")" >"$work/now"
kept=tests/bench/counted.csv
cat "$work/now"
[ "$(wc -l <"$work/now")" -eq 2 ] || { echo "a demo was not counted"; exit 1; }
if [ "${STEADYFALL_WRITE:-}" = 1 ]; then
    { echo "sample,instructions"; cat "$work/now"; } >"$kept"
fi
# One part in twenty more than is kept fails; much less should be kept.
awk -F, 'NR == FNR { kept[$1] = $2; next }
    !($1 in kept) { print $1 " is not kept"; bad = 1; next }
    $2 > 1.05 * kept[$1] { print "demo of " $1 ": " $2 / kept[$1] " times the work that is kept"; bad = 1 }
    END { exit bad }' "$kept" "$work/now"
if [ -n "${1:-}" ]; then
    git worktree add -q --detach "$work/before" "$1"
    trap 'git worktree remove --force "$work/before"; rm -rf "$work"' EXIT
    (cd "$work/before" && cargo build --locked -q --release --target-dir "$work/target")
    samples "$work/target/release/steadyfall" >"$work/then"
    paste -d, "$work/now" "$work/then" | awk -F, '{ print "demo of " $1 ": " $2 / $4 " of the work at that commit" }'
fi
