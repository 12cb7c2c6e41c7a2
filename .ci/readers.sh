#!/usr/bin/env bash
# marks.gpx and marks.geojson read back by two libraries that are not ours: GDAL and gpxpy. The same points must come out.
set -euo pipefail
cd "$(dirname "$0")/.."
export DEBIAN_FRONTEND=noninteractive
command -v ogr2ogr >/dev/null || { apt-get update -q >/dev/null; apt-get install -y -q --no-install-recommends gdal-bin >/dev/null; }
command -v python3 >/dev/null || apt-get install -y -q --no-install-recommends python3 python3-venv >/dev/null
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
python3 -m venv "$work/env" 2>/dev/null || { apt-get install -y -q --no-install-recommends python3-venv >/dev/null; python3 -m venv "$work/env"; }
"$work/env/bin/pip" install -q gpxpy==1.6.2
program=${STEADYFALL:-target/debug/steadyfall}
[ -n "${STEADYFALL:-}" ] || cargo build -q --locked
"$program" demo --out "$work/out" --quiet
ogr2ogr -f CSV "$work/gpx.csv" "$work/out/marks.gpx" waypoints -lco GEOMETRY=AS_XY
ogr2ogr -f CSV "$work/geojson.csv" "$work/out/marks.geojson" -where "OGR_GEOMETRY='POINT'" -lco GEOMETRY=AS_XY
"$work/env/bin/python" - "$work" <<'P'
import csv, json, sys
import gpxpy

work = sys.argv[1]
marks = [m for m in json.load(open(f"{work}/out/result.json"))["marks"] if "lat" in m]
assert len(marks) > 5, len(marks)
near = lambda a, b: abs(a - b) < 2e-7

def same(what, points):
    assert len(points) == len(marks), f"{what}: {len(points)} for {len(marks)}"
    for mark, (name, lat, lon) in zip(marks, points):
        assert name.split()[0] == mark["id"], f"{what}: {name} for {mark['id']}"
        assert near(lat, mark["lat"]) and near(lon, mark["lon"]), f"{what}: {name}"
    print(f"{what}: {len(points)} points")

with open(f"{work}/gpx.csv") as f:
    same("GDAL, gpx", [(r["name"], float(r["Y"]), float(r["X"])) for r in csv.DictReader(f)])
with open(f"{work}/geojson.csv") as f:
    rows = list(csv.DictReader(f))
    key = "name" if "name" in rows[0] else "id"
    same("GDAL, geojson", [(r[key], float(r["Y"]), float(r["X"])) for r in rows])
with open(f"{work}/out/marks.gpx") as f:
    same("gpxpy", [(w.name, w.latitude, w.longitude) for w in gpxpy.parse(f).waypoints])
P
