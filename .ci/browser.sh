#!/usr/bin/env bash
# The page in a real browser: opened from disk, read out by pointer and keyboard, on a phone, on paper, by a hostile survey.
# Needs Debian's chromium, librsvg2-bin, poppler-utils and node; fetches three packages into a temporary folder outside the tree.
set -euo pipefail
cd "$(dirname "$0")/.."
export DEBIAN_FRONTEND=noninteractive
need() { command -v "$1" >/dev/null || { apt-get update -q >/dev/null; apt-get install -y -q --no-install-recommends "$2" >/dev/null; }; }
need chromium chromium
need pdftotext poppler-utils
need rsvg-convert librsvg2-bin
need node nodejs
need npm npm
[ -n "$(fc-list 2>/dev/null | head -1)" ] || apt-get install -y -q --no-install-recommends fonts-liberation >/dev/null

work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
(cd "$work" && npm init -y >/dev/null && npm install --silent --no-audit --no-fund playwright-core@1 axe-core@4 pngjs@7 >/dev/null)

program=${STEADYFALL:-target/debug/steadyfall}
[ -n "${STEADYFALL:-}" ] || cargo build -q --locked
"$program" demo --out "$work/metric" --quiet
"$program" demo --sample us --out "$work/us" --quiet
"$program" compare sample-surveys/otter-gill/site.toml --after sample-surveys/otter-gill/after-storm.gpx --out "$work/storm" --quiet
# The same walk with names that want to run.
mkdir "$work/site"
hostile='\&lt;/script\&gt;\&lt;img src=x onerror=window.ran=1\&gt;\&lt;script\&gt;window.ran=1\&lt;/script\&gt;'
sed "s|old stile|$hostile|" sample-surveys/otter-gill/walk.gpx >"$work/site/walk.gpx"
sed 's|^title = .*|title = "</title><script>window.ran=1</script>"|; s|"head valve"|"<img src=x onerror=window.ran=1>"|' sample-surveys/otter-gill/site.toml >"$work/site/site.toml"
"$program" check "$work/site/site.toml" --out "$work/hostile" --quiet
cp .ci/browser.mjs "$work/browser.mjs"
CHROMIUM=$(command -v chromium) node "$work/browser.mjs" "$work"

# The sheets look alike in a renderer that shares no code with the browser.
cp .ci/renderers.mjs "$work/renderers.mjs"
CHROMIUM=$(command -v chromium) node "$work/renderers.mjs" "$work" metric/profile.svg metric/plan.svg us/profile.svg storm/profile.svg storm/moved.svg storm/moved-2.svg

# Drawn at true scale: on the printed sheet, the rulings of two stations stand as far apart as the stated scale says.
pdftotext -bbox "$work/profile.pdf" "$work/profile.bbox"
python3 - "$work/profile.bbox" "$work/scale.json" <<'P'
import json, re, sys
words = re.findall(r'xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(.*?)</word>', open(sys.argv[1]).read())
asked = json.load(open(sys.argv[2]))
rows = {}
for left, top, right, _, text in words:
    if re.fullmatch(r"\d+", text):
        rows.setdefault(round(float(top)), []).append((float(text), (float(left) + float(right)) / 2))
best = max((r for r in rows.values() if len({v for v, _ in r}) > 6 and all(v % 50 == 0 for v, _ in r)), key=len)
(a, xa), (b, xb) = min(best), max(best)
paper_mm = (xb - xa) / 72 * 25.4
wanted_mm = (b - a) * 1000 / asked["ratio"]
assert abs(paper_mm - wanted_mm) < 0.5, f"{paper_mm} mm on paper for {wanted_mm} mm"
print(f"scale 1:{asked['ratio']}: {paper_mm:.2f} mm on paper for {wanted_mm:.2f}")
P
