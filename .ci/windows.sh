#!/usr/bin/env bash
# Built for Windows where the toolchain's installer has the target: linked where a linker for it is there already, else checked only. Run in an emulator: windows-by-hand.sh.
set -euo pipefail
cd "$(dirname "$0")/.."
target=x86_64-pc-windows-gnu
# A folder of its own, so that nothing waits for it.
apart=${CARGO_TARGET_DIR:-target}/windows
if ! rustup target add $target >/dev/null 2>&1; then
    echo "NOT BUILT for Windows: the toolchain's installer refused the target"
elif command -v x86_64-w64-mingw32-gcc >/dev/null; then
    cargo build --locked -q --target $target --target-dir "$apart"
    echo "built for Windows"
else
    cargo check --locked -q --target $target --target-dir "$apart"
    echo "checked for Windows, not linked: no linker for it here"
fi
