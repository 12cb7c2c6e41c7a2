#!/usr/bin/env bash
# The program built for Windows, and run where the distribution has an emulator: the demo, the same folder again, a file that was changed, a link of names.
# What cannot be had here is said, and the gate goes on without it.
set -euo pipefail
cd "$(dirname "$0")/.."
target=x86_64-pc-windows-gnu
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
have() { command -v "$1" >/dev/null; }
get() {
    export DEBIAN_FRONTEND=noninteractive
    apt-get update -q >/dev/null 2>&1 && apt-get install -y -q --no-install-recommends "$@" >/dev/null 2>&1
}

if ! rustup target add $target >/dev/null 2>"$work/refused"; then
    echo "NOT TRIED for Windows: the toolchain's installer refused: $(tail -1 "$work/refused")"
    exit 0
fi
have x86_64-w64-mingw32-gcc || get gcc-mingw-w64-x86-64 || true
if ! have x86_64-w64-mingw32-gcc; then
    echo "NOT TRIED for Windows: the distribution has no linker for it"
    exit 0
fi
cargo build --locked -q --target $target
program="${CARGO_TARGET_DIR:-target}/$target/debug/steadyfall.exe"
echo "built for Windows: $(stat -c %s "$program") bytes"

wine=$(command -v wine64 || command -v wine || true)
[ -n "$wine" ] || [ ! -x /usr/lib/wine/wine64 ] || wine=/usr/lib/wine/wine64
if [ -z "$wine" ]; then
    get wine64 || true
    [ ! -x /usr/lib/wine/wine64 ] || wine=/usr/lib/wine/wine64
fi
if [ -z "$wine" ]; then
    echo "NOT TRIED on Windows: the distribution has no emulator"
    exit 0
fi
export WINEPREFIX="$work/wine" WINEDEBUG=-all NO_COLOR=1 COLUMNS=96
program=$(realpath "$program")
# The standard library draws random numbers from a library that an older emulator has not: one function over another that it has.
cat >"$work/random.c" <<'C'
#include <windows.h>
BOOLEAN NTAPI SystemFunction036(PVOID, ULONG);
__declspec(dllexport) BOOL WINAPI ProcessPrng(PBYTE data, SIZE_T size) { return SystemFunction036(data, (ULONG)size); }
C
cp "$program" "$work/steadyfall.exe"
program=$work/steadyfall.exe
timeout 60 "$wine" "$program" --version >/dev/null 2>&1 || x86_64-w64-mingw32-gcc -shared -o "$work/bcryptprimitives.dll" "$work/random.c" -ladvapi32
sf() { timeout 600 "$wine" "$program" "$@"; }
cd "$work"
sf demo --quiet --out shown
cp shown/result.json first.json
# Over its own results, with a file of the user's and one that the user changed.
echo mine >shown/notes.txt
echo changed >>shown/stations.csv
sf demo --quiet --out shown 2>said
cmp shown/result.json first.json
[ "$(cat shown/notes.txt)" = mine ] || { echo "a file of the user's was lost"; exit 1; }
grep -q changed shown/stations-kept.csv
if grep -q changed shown/stations.csv; then echo "a changed file was not written anew"; exit 1; fi
left=$(find . -maxdepth 1 -name '.shown*')
[ -z "$left" ] || { echo "left behind: $left"; exit 1; }
# A foreign folder is refused.
mkdir theirs && echo dear >theirs/letter.txt
if sf demo --quiet --out theirs 2>>said; then echo "a foreign folder was taken"; exit 1; fi
[ "$(ls theirs)" = letter.txt ]
echo "run as on Windows: results written, written again, a changed file kept, a foreign folder left alone"
