"""Asks an offline copy of the advisories on Rust packages (folders `crates/NAME/*.md`, each with a block of TOML) about the tree that `cargo metadata`
gives on standard input. Usage: advisories.py FOLDER"""

import json
import re
import sys
import tomllib
from pathlib import Path


def version(text):
    numbers = [int(n) for n in re.split(r"[-+]", text.strip())[0].split(".")]
    return tuple(numbers + [0] * (3 - len(numbers)))


def meets(have, wants):
    """Whether a version meets a requirement such as ">= 1.2.3, < 2" or "^0.9"."""
    for want in wants.split(","):
        sign, told = re.fullmatch(r"\s*(>=|<=|>|<|=|\^|~|)\s*([0-9][^\s]*)\s*", want).groups()
        at, parts = version(told), len(re.split(r"[-+]", told)[0].split("."))
        if sign in ("^", ""):
            fixed = next((i for i in range(3) if at[i]), parts - 1)
            fine = have >= at and have[: fixed + 1] == at[: fixed + 1]
        elif sign == "~":
            fine = have >= at and have[: min(parts, 2)] == at[: min(parts, 2)]
        else:
            fine = {">=": have >= at, "<=": have <= at, ">": have > at, "<": have < at, "=": have[:parts] == at[:parts]}[sign]
        if not fine:
            return False
    return True


# The check is held to what it must tell apart.
assert meets((1, 2, 3), ">= 1.2.3") and not meets((1, 2, 2), ">= 1.2.3") and meets((1, 5, 0), ">= 1.2, < 2.0") and not meets((2, 0, 0), ">= 1.2, < 2.0")
assert meets((0, 9, 4), "^0.9.1") and not meets((0, 10, 0), "^0.9.1") and meets((1, 9, 0), "^1.2") and not meets((2, 0, 0), "^1.2") and meets((1, 2, 9), "~1.2.3")

tree = {}
for package in json.load(sys.stdin)["packages"]:
    tree.setdefault(package["name"], []).append(package["version"])
asked, harm, notes = 0, [], []
for path in sorted(Path(sys.argv[1]).glob("crates/*/*.md")):
    if path.parent.name not in tree:
        continue
    told = tomllib.loads(path.read_text().split("```toml", 1)[1].split("```", 1)[0])
    advisory, versions = told["advisory"], told.get("versions", {})
    if "withdrawn" in advisory:
        continue
    asked += 1
    safe = versions.get("patched", []) + versions.get("unaffected", [])
    for have in tree[path.parent.name]:
        if not any(meets(version(have), want) for want in safe):
            line = f"{path.parent.name} {have}: {advisory['id']}"
            (notes if "informational" in advisory else harm).append(line)
for line in notes:
    print(f"NOTE {line}, for information")
print(f"{asked} advisories on packages of the tree, {len(harm)} of which hit a version in it")
sys.exit("\n".join(harm) or 0)
