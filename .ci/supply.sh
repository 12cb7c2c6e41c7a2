#!/usr/bin/env bash
# What the project stands on: every licence is one we may pass on, no package asks for a newer toolchain than we state, nothing is named and unused,
# and the package that others get is whole: it builds from itself alone, with the data it carries.
set -euo pipefail
cd "$(dirname "$0")/.."
command -v python3 >/dev/null || { export DEBIAN_FRONTEND=noninteractive; apt-get update -q >/dev/null; apt-get install -y -q --no-install-recommends python3 >/dev/null; }

cargo metadata --format-version 1 --locked | python3 .ci/supply.py

# Advisories are asked from a copy that whoever runs the gate has at hand: nothing is fetched here.
if [ -n "${STEADYFALL_ADVISORIES:-}" ]; then
    cargo metadata --format-version 1 --locked | python3 .ci/advisories.py "$STEADYFALL_ADVISORIES"
else
    echo "NOTE: no copy of advisories was asked: STEADYFALL_ADVISORIES names none"
fi

have=$(rustc --version | cut -d" " -f2)
stated=$(sed -n 's/^rust-version = "\(.*\)"$/\1/p' Cargo.toml)
case $have in
"$stated" | "$stated".*) echo "the toolchain at hand, $have, is the oldest one stated: what is built and tested here is built and tested with it" ;;
*) echo "NOTE: the toolchain at hand is $have, the oldest one stated $stated: with that one nothing was built or tested in this run" ;;
esac

work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
# No address of the project is stated yet (--no-metadata); a change not yet committed is packaged as it stands.
cargo package --locked --no-metadata --allow-dirty --no-verify -q --target-dir "$work/target" 2>&1 | tee "$work/said"
[ ! -s "$work/said" ] || { echo "packaging is not clean"; exit 1; }
tar -C "$work" -xf "$work"/target/package/steadyfall-*.crate
home=$PWD
# How large it is, part by part; the tracks of receivers, which only tests of the reader need, stay in the repository.
echo "the package, packed: $(stat -c %s "$work"/target/package/steadyfall-*.crate) bytes; unpacked, kB:"
(cd "$work"/steadyfall-*/ && du -sk -- * | sort -rn | sed 's/^/  /')
[ ! -e "$work"/steadyfall-*/tests/tracks ] || { echo "tracks are in the package"; exit 1; }
cd "$work"/steadyfall-*/
# Built where nothing of the repository is in reach; the building dependencies are shared.
CARGO_TARGET_DIR="${CARGO_TARGET_DIR:-$home/target}" cargo install --locked -q --debug --path . --root "$work/installed"
cd "$work"
"$work/installed/bin/steadyfall" demo --quiet --out shown
[ -s shown/report.html ]
[ "$("$work/installed/bin/steadyfall" pipes PE100 SDR11 90 | wc -l)" -gt 1 ]
"$work/installed/bin/steadyfall" basis surge >/dev/null
echo "the package builds, installs and runs by itself"
