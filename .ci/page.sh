#!/usr/bin/env bash
# The page that is the whole program, in a real browser, from disk, with nothing to fetch: built afresh in a temporary folder and tested there. Where the
# browser's target or the bundler is refused, the page in docs/page is tested instead, and that is said.
# Needs Debian's chromium, node and npm; fetches two packages into a temporary folder outside the tree. BROWSER=firefox or webkit tries another engine by a shorter script (Debian's firefox-esr, or webkit2gtk-driver and xvfb). SLOW=6 measures the wait on a processor six times slower, and tests nothing.
set -euo pipefail
cd "$(dirname "$0")/.."
export DEBIAN_FRONTEND=noninteractive
need() { command -v "$1" >/dev/null || { apt-get update -q >/dev/null; apt-get install -y -q --no-install-recommends "$2" >/dev/null; }; }
need chromium chromium
need node nodejs
need npm npm
[ -n "$(fc-list 2>/dev/null | head -1)" ] || apt-get install -y -q --no-install-recommends fonts-liberation >/dev/null

work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
(cd "$work" && npm init -y >/dev/null && npm install --silent --no-audit --no-fund playwright-core@1 axe-core@4 >/dev/null)

said=
page=${PAGE:-$work/built/index.html}
if [ -z "${PAGE:-}" ]; then
    if ! bash src/page/build.sh "$work/built" 2>"$work/refused"; then
        said="NOT TRIED the page afresh: $(tail -1 "$work/refused"); the page in docs/page was tested"
        page=$PWD/docs/page/index.html
    fi
fi
if [ -n "${BROWSER:-}" ]; then
    if [ "$BROWSER" = webkit ]; then
        need WebKitWebDriver webkit2gtk-driver
        need xvfb-run xvfb
        need xauth xauth
        WEBKIT=$(find /usr/lib -name MiniBrowser | sort | tail -1)
        export WEBKIT
        cp .ci/page-others.mjs "$work/"
        xvfb-run -a node "$work/page-others.mjs" "$work" "$page" webkit
    else
        need firefox-esr firefox-esr
        (cd "$work" && npm install --silent --no-audit --no-fund puppeteer-core >/dev/null)
        cp .ci/page-others.mjs "$work/"
        node "$work/page-others.mjs" "$work" "$page" firefox
    fi
    exit
fi
if [ -n "${SLOW:-}" ]; then
    cp .ci/page-slow.mjs "$work/"
    CHROMIUM=$(command -v chromium) node "$work/page-slow.mjs" "$work" "$page" "$SLOW"
    exit
fi
size=$(stat -c %s "$page")
# A page from a quicker build, to work on, may be told to be larger.
[ "$size" -le "${PAGE_LIMIT:-3600000}" ] || { echo "the page is $size bytes, more than 3.6 MB"; exit 1; }
echo "the page: $size bytes"

program=$(realpath "${STEADYFALL:-target/debug/steadyfall}")
[ -n "${STEADYFALL:-}" ] || cargo build -q --locked
if [ -n "$said" ]; then
    # An older page is not the program at hand: its bytes may differ from what that writes.
    version=$("$program" --version)
    grep -q "${version#steadyfall }" "$page" || said="$said; it is of another version than $version"
fi
(
    mkdir -p "$work/native/walk" "$work/files"
    cp sample-surveys/otter-gill/walk.gpx "$work/native/walk/"
    cp sample-surveys/otter-gill/{walk,after-storm}.gpx "$work/files/"
    cp sample-surveys/otter-gill/after-storm.gpx "$work/native/"
    cd "$work/native"
    for sample in metric us; do "$program" demo --sample $sample --files $sample >/dev/null; done
    cd "$work/native/walk" && "$program" survey walk.gpx --quiet
    cd "$work/native/us" && "$program" check site.toml --quiet
    cd "$work/native/metric" && "$program" check site.toml --quiet
    mv ../after-storm.gpx .
    "$program" compare site.toml --after after-storm.gpx --quiet
    "$program" size site.toml --out site-sizes --quiet
)
# The same walk with names that want to run.
hostile='\&lt;/script\&gt;\&lt;img src=x onerror=window.ran=1\&gt;\&lt;script\&gt;window.ran=1\&lt;/script\&gt;'
sed "s|old stile|$hostile|" sample-surveys/otter-gill/walk.gpx >"$work/files/hostile<img src=x onerror=window.ran=1>.gpx"
sed 's|^title = .*|title = "</title><script>window.ran=1</script>"|; s|"head valve"|"<img src=x onerror=window.ran=1>"|' sample-surveys/otter-gill/site.toml >"$work/files/site.toml"
sed "s|old stile|$hostile|" sample-surveys/otter-gill/walk.gpx >"$work/files/hostile-walk.gpx"
sed -i 's|walk.gpx|hostile-walk.gpx|' "$work/files/site.toml"

cp .ci/page*.mjs "$work/"
CHROMIUM=$(command -v chromium) node "$work/page.mjs" "$work" "$page"
CHROMIUM=$(command -v chromium) node "$work/page-field.mjs" "$work" "$page" "$program"

# The zip is the folder of the native program, byte for byte; and the native program reads it as it is.
for folder in walk metric us; do
    mkdir "$work/from-$folder"
    python3 -m zipfile -e "$work/$folder.zip" "$work/from-$folder"
    # Of a walk alone the native program keeps no site file.
    if [ "$folder" = walk ]; then rm "$work/from-walk/site.toml"; fi
    diff -r "$work/native/$folder" "$work/from-$folder" || { [ -n "$said" ] && echo "$said" || exit 1; }
done
(cd "$work" && "$program" check metric.zip --quiet)
diff -r "$work/native/metric/site-results" "$work/metric-results"
echo "the zips are the native folders, byte for byte: $(find "$work/native" -type f | wc -l) files"
[ -z "$said" ] || echo "$said"
