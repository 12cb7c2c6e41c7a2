#!/usr/bin/env bash
# Builds the page: build.sh FOLDER. One HTML file that is the whole program, and what an installed page needs beside it.
# The program is built for the browser, the script in a temporary folder: nothing is left in the tree.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
out=$(mkdir -p "${1:-$here/../../docs/page}" && cd "${1:-$here/../../docs/page}" && pwd)
cd "$here/../.."
target=${CARGO_TARGET_DIR:-target}
# Every reader and writer that the program has, but not the page inside the page.
features=${PAGE_FEATURES:-$(sed -n 's/^default = \[\(.*\)\]/\1/p' Cargo.toml | tr -d '" ' | tr , '\n' | grep -vx page | paste -sd,)}
rustup target add wasm32-wasip1 >/dev/null
RUSTFLAGS="-C target-feature=+simd128" cargo build --locked -q --profile page --target wasm32-wasip1 --no-default-features --features "$features"
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cp "$here"/* "$work/"
cp "$target/wasm32-wasip1/page/steadyfall.wasm" "$work/"
cargo metadata --locked --format-version 1 --filter-platform wasm32-wasip1 --no-default-features --features "$features" >"$work/metadata.json"
cd "$work"
npm ci --silent --no-audit --no-fund
npx tsc
node --no-warnings build.mjs steadyfall.wasm "$out"
