#!/usr/bin/env bash
# Puts one wrong constant at a time into a copy of the project and asks the ledger: red each time, by a row that is off. Then all spoilt rules at once, and asks the pairs of the rules: red is every rule whose own pair is off.
# Not part of the gate (each is a build). Takes words to pick topics by: bash tests/wrong/run.sh [WORD]
set -euo pipefail
home=$(cd "$(dirname "$0")/../.." && pwd)
copy=$(mktemp -d)
trap 'rm -rf "$copy"' EXIT
(cd "$home" && tar --exclude=./target --exclude=./.git -cf "$copy/all.tar" .) || [ $? -eq 1 ]
tar -C "$copy" -xf "$copy/all.tar"
rm "$copy/all.tar"
cd "$copy"
export CARGO_TARGET_DIR=${WRONG_TARGET:-$copy/target}
# What judges them alone, so that a round is short.
python3 - <<'P'
import re
text = open("tests/all/main.rs").read()
keep = {"checks", "invented", "ledger", "rules", "survey"}
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

# What the pairs of the rules say, and the order of findings: all of it, or why they could not be asked.
rules() {
    cargo test --locked -q --lib --test all --no-run 2>&1 || { echo "does not build"; return; }
    cargo test --locked -q --lib finding:: 2>&1 || true
    cargo test --locked -q --test all rules:: 2>&1 || true
}

# Puts a wrong line in the place of a right one, which must stand there once.
put() {
    python3 - "$1" "$2" "$3" <<'P'
import sys
path, right, wrong = sys.argv[1:]
text = open(path).read()
head = text.split("#[cfg(test)]")[0]
if head.count(right) != 1:
    sys.exit(f"{path}: {right!r} stands {head.count(right)} times, not once")
open(path, "w").write(text.replace(right, wrong, 1))
P
}

blind=0 asked=0
# Puts in each line of a list by itself and asks what judges it.
spoil() {
    local list=$1 judge=$2 words=$3 first
    first=$($judge)
    echo "as it is, by the $judge: $first"
    [[ $first == green* ]] || exit 1
    while IFS=$'\t' read -r -u 3 topic file right wrong; do
        [[ $topic == topic || $topic != *"$words"* ]] && continue
        cp "$file" "$copy/kept"
        put "$file" "$right" "$wrong"
        said=$($judge)
        cp "$copy/kept" "$file"
        touch "$file"
        asked=$((asked + 1))
        case $said in
        *"rows are off") echo "red    $topic: $said" ;;
        *) echo "BLIND  $topic: $said"; blind=$((blind + 1)) ;;
        esac
    done 3<"$home/tests/wrong/$list"
}

# Puts in every spoilt rule at once, for each has a pair of its own: red is a rule whose own code is off.
spoil_rules() {
    local words=$1 said topic code file right wrong
    said=$(rules)
    if grep -qE "FAILED|panicked|does not build" <<<"$said"; then
        echo "the rules as they are: $(tail -5 <<<"$said")"
        exit 1
    fi
    echo "as it is, by the pairs of the rules: green"
    while IFS=$'\t' read -r -u 3 topic code file right wrong; do
        [[ $topic == topic || $topic != *"$words"* ]] && continue
        put "$file" "$right" "$wrong"
    done 3<"$home/tests/wrong/rules.tsv"
    said=$(rules)
    if grep -q "does not build" <<<"$said"; then
        echo "stopped: $(grep -A6 "^error" <<<"$said" | head -20)"
        exit 1
    fi
    while IFS=$'\t' read -r -u 3 topic code file right wrong; do
        [[ $topic == topic || $topic != *"$words"* ]] && continue
        asked=$((asked + 1))
        if grep -qE "^$code (is|on) |^test .*$code.* FAILED|^    [a-z:_]*$code" <<<"$said"; then
            echo "red    $topic: $code"
        else
            echo "BLIND  $topic: $code"
            blind=$((blind + 1))
        fi
    done 3<"$home/tests/wrong/rules.tsv"
}

spoil constants.tsv ledger "${1:-}"
spoil_rules "${1:-}"
echo "$asked wrong lines, $blind unseen"
[ "$blind" -eq 0 ]
