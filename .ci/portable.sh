#!/usr/bin/env bash
# The same bytes everywhere: every file of the three samples, of compare and of fifty random sites from the debug build, the release build, one for this
# very processor, the release build on a processor that owns to no fused multiply-add and on one processor alone, and the program as a browser holds it, run by node.
set -euo pipefail
cd "$(dirname "$0")/.."
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
target=${CARGO_TARGET_DIR:-target}
export NO_COLOR=1 COLUMNS=96
missing=()

# The very program that the page holds, built while others run.
if rustup target add wasm32-wasip1 >/dev/null 2>"$work/refused" && command -v node >/dev/null; then
    bash -euc '. src/page/program.sh; echo "$wasm" >"$0"' "$work/wasm" &
    in_browser=$!
fi

# What is run: the folder to stand in, then the arguments, by tabs.
mkdir -p "$work/input"/{metric,us,works,storm}
cp -r sample-surveys "$work/input/storm/"
STEADYFALL_SITES="$work/input/sites" cargo test --locked -q --test all random_sites >/dev/null
{
    printf 'metric\tdemo\t--workbook\nus\tdemo\t--sample\tus\t--workbook\nworks\tdemo\t--sample\tworks\n'
    printf 'storm\tcompare\tsample-surveys/otter-gill/site.toml\t--after\tsample-surveys/otter-gill/after-storm.gpx\t--out\tresults\n'
    for site in "$work"/input/sites/*; do printf 'sites/%s\tcheck\tsite.toml\n' "$(basename "$site")"; done
} >"$work/runs"
[ "$(wc -l <"$work/runs")" -eq 54 ] || { echo "not fifty random sites"; exit 1; }

# A build's results: native NAME PROGRAM
native() {
    local name=$1 program
    program=$(realpath "$2")
    cp -r "$work/input" "$work/$name"
    while IFS=$'\t' read -r folder args; do
        echo "cd '$work/$name/$folder' && '$program' ${args//$'\t'/ } >out.txt"
    done <"$work/runs" | xargs -d '\n' -P 2 -I{} bash -c '{}'
}

# Every file alike, and as many as there must be: same NAME
same() {
    diff -rq "$work/release" "$work/$1" >"$work/differ" || { echo "$1 differs from release:"; head -20 "$work/differ"; exit 1; }
    echo "$1: the same bytes in $(find "$work/$1" -type f | wc -l) files"
}

cargo build --locked -q --release
native release "$target/release/steadyfall"
[ "$(find "$work/release" -name result.json | wc -l)" -eq 54 ] || { echo "a run wrote no result"; exit 1; }

cargo build --locked -q
native debug "$target/debug/steadyfall"
same debug

# The C library picks its functions by the processor; ours must not hang on them.
GLIBC_TUNABLES=glibc.cpu.hwcaps=-AVX512F,-AVX2,-AVX,-FMA,-FMA4 native older "$target/release/steadyfall"
same older

# Whatever is done side by side elsewhere is done here one after the other.
first=$(taskset -cp $$ | sed 's/.*: //;s/[,-].*//')
(taskset -cp "$first" $BASHPID >/dev/null; native alone "$target/release/steadyfall")
same alone

RUSTFLAGS="-C target-cpu=native" cargo build --locked -q --release --target-dir "$target/this-processor"
native this-processor "$target/this-processor/release/steadyfall"
same this-processor

if ! command -v node >/dev/null; then
    missing+=("in a browser: no node here")
elif [ -z "${in_browser:-}" ]; then
    missing+=("in a browser: the toolchain's installer refused: $(tail -1 "$work/refused")")
else
    wait "$in_browser"
    wasm=$(cat "$work/wasm")
    cp -r "$work/input" "$work/browser"
    # A process a run: the memory of one program is given back before the next.
    while IFS= read -r run; do
        printf '%s\0' "$run"
    done <"$work/runs" | xargs -0 -P 2 -I{} node --no-warnings --no-turbo-fast-api-calls .ci/portable.mjs "$wasm" "$work/browser" {}
    same browser
fi
for why in "${missing[@]:-}"; do [ -z "$why" ] || echo "NOT TRIED $why"; done
