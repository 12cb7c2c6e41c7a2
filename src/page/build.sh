#!/usr/bin/env bash
# Builds the page: build.sh FOLDER. One HTML file that is the whole program, and what an installed page needs beside it.
# The program is built for the browser, the script in a temporary folder: nothing is left in the tree.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
out=$(mkdir -p "${1:-$here/../../docs/page}" && cd "${1:-$here/../../docs/page}" && pwd)
cd "$here/../.."
. src/page/program.sh
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cp "$here"/* "$work/"
cp "$wasm" "$work/"
cargo metadata --locked --format-version 1 --filter-platform wasm32-wasip1 --no-default-features --features "$features" >"$work/metadata.json"
cd "$work"
npm ci --silent --no-audit --no-fund
npx tsc
node --no-warnings build.mjs steadyfall.wasm "$out"
