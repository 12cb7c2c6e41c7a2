"""Judges the dependency tree that `cargo metadata` gives on standard input."""

import json
import re
import sys
from pathlib import Path

# May be passed on with a program under MIT. Of a choice ("OR") one is enough; of a sum ("AND") all are needed.
ALLOWED = {
    "MIT",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSL-1.0",
    "ISC",
    "Unicode-3.0",
    "Unlicense",
    "Zlib",
}


def allowed(text):
    """Whether an SPDX expression of one level of brackets can be kept with ALLOWED."""
    text = text.replace("/", " OR ")
    parts = re.findall(r"\([^()]*\)|[^()]+?(?= AND |$)", text.replace(") AND", ")  AND").replace("AND (", "AND  ("))
    parts = [p.strip().removeprefix("AND ").strip() for p in parts if p.strip(" AND")]
    return bool(parts) and all(any(one.strip() in ALLOWED for one in part.strip("()").split(" OR ")) for part in parts)


# The check is held to what it must tell apart.
assert allowed("MIT OR Apache-2.0") and allowed("MIT/Apache-2.0") and allowed("MIT OR Apache-2.0 OR LGPL-2.1-or-later")
assert allowed("(MIT OR Apache-2.0) AND Unicode-3.0") and not allowed("(MIT OR Apache-2.0) AND GPL-3.0-only")
assert not allowed("LGPL-3.0-or-later") and not allowed("MIT AND GPL-3.0-only") and not allowed("GPL-3.0-only AND MIT")

data = json.load(sys.stdin)
packages = {p["id"]: p for p in data["packages"]}
nodes = {n["id"]: n for n in data["resolve"]["nodes"]}
root = data["resolve"]["root"]


def version(text):
    return tuple(int(n) for n in (text or "0").split("-")[0].split(".")) + (0, 0)


def reached(kinds):
    """Everything the project needs through dependencies of these kinds."""
    seen, open_ = set(), [root]
    while open_:
        at = open_.pop()
        if at in seen:
            continue
        seen.add(at)
        wanted = kinds if at == root else {None, "build"}
        open_ += [d["pkg"] for d in nodes[at]["deps"] if {k["kind"] for k in d["dep_kinds"]} & wanted]
    return seen - {root}


own = packages[root]
everything, carried = reached({None, "build", "dev"}), reached({None, "build"})
wrong = []
for id_ in sorted(everything):
    package = packages[id_]
    name = f"{package['name']} {package['version']}"
    if not allowed(package["license"] or "unknown"):
        wrong.append(f"{name}: its licence is {package['license']}")
    if version(package["rust_version"])[:2] > version(own["rust_version"])[:2]:
        wrong.append(f"{name}: needs Rust {package['rust_version']}, we state {own['rust_version']}")

text = "\n".join(p.read_text() for folder in ("src", "tests") for p in Path(folder).rglob("*.rs") if "fuzz" not in p.parts)
for dependency in own["dependencies"]:
    word = dependency["name"].replace("-", "_")
    if not re.search(rf"\b{word}::|\buse {word}\b", text):
        wrong.append(f"{word}: named in Cargo.toml and used nowhere")

print(f"{len(carried)} packages carried, {len(everything) - len(carried)} more for tests and benches; Rust {own['rust_version']} or later")
sys.exit("\n".join(wrong) or 0)
