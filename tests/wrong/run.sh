#!/usr/bin/env bash
# Puts one wrong constant at a time into a copy of the project and runs the ledger: it must go red each time, by a row that is off.
# Not part of the gate (each constant is a build). Takes words to pick topics by: bash tests/wrong/run.sh [WORD]
set -euo pipefail
home=$(cd "$(dirname "$0")/../.." && pwd)
list=$home/tests/wrong/constants.tsv
copy=$(mktemp -d)
trap 'rm -rf "$copy"' EXIT
(cd "$home" && tar --exclude=./target --exclude=./.git -cf "$copy/all.tar" .) || [ $? -eq 1 ]
tar -C "$copy" -xf "$copy/all.tar"
rm "$copy/all.tar"
cd "$copy"
export CARGO_TARGET_DIR=${WRONG_TARGET:-$copy/target}
# The ledger alone, so that a round is short.
python3 - <<'P'
import re
text = open("tests/all/main.rs").read()
keep = {"checks", "invented", "ledger"}
open("tests/all/main.rs", "w").write(re.sub(r"^mod (\w+);\n", lambda m: m[0] if m[1] in keep else "", text, flags=re.M))
P

# What the ledger says: "green", "red" with the number of rows that are off, or why it could not be asked.
ledger() {
    local out
    if ! out=$(cargo test --locked -q --test all --no-run 2>&1); then
        echo "does not build: $out"
    elif out=$(cargo test --locked -q --test all every_row_is_checked 2>&1); then
        echo green
    elif grep -q "rows are off" <<<"$out"; then
        grep -o "[0-9]* of [0-9]* rows are off" <<<"$out" | head -1
    elif grep -q "verification.md is stale" <<<"$out"; then
        # Every row holds; only the printed shares of the tolerances differ.
        echo "green (the page is stale)"
    else
        echo "stopped: $(tail -5 <<<"$out")"
    fi
}

first=$(ledger)
echo "as it is: $first"
[[ $first == green* ]] || exit 1
blind=0 asked=0
while IFS=$'\t' read -r -u 3 topic file right wrong; do
    [[ $topic == topic || $topic != *"${1:-}"* ]] && continue
    cp "$file" "$copy/kept"
    python3 - "$file" "$right" "$wrong" <<'P'
import sys
path, right, wrong = sys.argv[1:]
text = open(path).read()
head = text.split("#[cfg(test)]")[0]
if head.count(right) != 1:
    sys.exit(f"{path}: {right!r} stands {head.count(right)} times, not once")
open(path, "w").write(text.replace(right, wrong, 1))
P
    said=$(ledger)
    cp "$copy/kept" "$file"
    touch "$file"
    asked=$((asked + 1))
    case $said in
    *"rows are off") echo "red    $topic: $said" ;;
    *) echo "BLIND  $topic: $said"; blind=$((blind + 1)) ;;
    esac
done 3<"$list"
echo "$asked wrong constants, $blind unseen"
[ "$blind" -eq 0 ]
