#!/usr/bin/env bash
# marks.gpx, marks.geojson, marks.kml, profile.dxf, plan.dxf and workbook.xlsx read back by libraries that are not ours: GDAL, gpxpy and openpyxl.
# The same points, lines and figures must come out.
set -euo pipefail
cd "$(dirname "$0")/.."
export DEBIAN_FRONTEND=noninteractive
command -v ogr2ogr >/dev/null || { apt-get update -q >/dev/null; apt-get install -y -q --no-install-recommends gdal-bin >/dev/null; }
command -v python3 >/dev/null || apt-get install -y -q --no-install-recommends python3 python3-venv >/dev/null
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
python3 -m venv "$work/env" 2>/dev/null || { apt-get install -y -q --no-install-recommends python3-venv >/dev/null; python3 -m venv "$work/env"; }
"$work/env/bin/pip" install -q gpxpy==1.6.2 openpyxl==3.1.5
program=${STEADYFALL:-target/debug/steadyfall}
[ -n "${STEADYFALL:-}" ] || cargo build -q --locked
"$program" demo --out "$work/out" --quiet --workbook
"$program" demo --out "$work/again" --quiet --workbook
diff -r "$work/out" "$work/again"
ogr2ogr -f CSV "$work/gpx.csv" "$work/out/marks.gpx" waypoints -lco GEOMETRY=AS_XY
ogr2ogr -f CSV "$work/geojson.csv" "$work/out/marks.geojson" -where "OGR_GEOMETRY='POINT'" -lco GEOMETRY=AS_XY
ogr2ogr -f CSV "$work/kml.csv" "$work/out/marks.kml" -where "OGR_GEOMETRY='POINT'" -lco GEOMETRY=AS_XYZ
ogr2ogr -f GeoJSON "$work/kml.geojson" "$work/out/marks.kml" -where "OGR_GEOMETRY='LINESTRING'"
for drawing in profile plan; do
    ogr2ogr -f GeoJSON "$work/$drawing.geojson" "$work/out/$drawing.dxf"
done
"$work/env/bin/python" - "$work" <<'P'
import csv, json, sys
import gpxpy
import openpyxl

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
with open(f"{work}/kml.csv") as f:
    rows = list(csv.DictReader(f))
    same("GDAL, kml", [(r["Name"], float(r["Y"]), float(r["X"])) for r in rows])
    assert all(abs(float(r["Z"]) - m["elevation_m"]) < 0.011 for r, m in zip(rows, marks) if "elevation_m" in m)

result = json.load(open(f"{work}/out/result.json"))
stations = result["route"]["points"]
with open(f"{work}/kml.geojson") as f:
    (line,) = json.load(f)["features"]
    assert near(line["geometry"]["coordinates"][0][1], stations[0]["lat"]), "GDAL, kml: the line begins elsewhere"
    print(f"GDAL, kml: a line of {len(line['geometry']['coordinates'])} points")

def layers(name):
    found = {}
    for feature in json.load(open(f"{work}/{name}.geojson"))["features"]:
        found.setdefault(feature["properties"]["Layer"], []).append(feature)
    print(f"GDAL, {name}.dxf: " + ", ".join(f"{k} {len(v)}" for k, v in sorted(found.items())))
    return found

section = layers("profile")
(pipe,) = section["PIPE"]
places = pipe["geometry"]["coordinates"]
assert len(places) == len(stations), f"profile.dxf: {len(places)} for {len(stations)} stations"
for place, point in zip(places, stations):
    along = point.get("peg_station_m", point["station_m"])
    assert abs(place[0] - along) < 0.006 and abs(place[1] - point["elevation_m"]) < 0.006, f"profile.dxf: {place} for {point}"
assert section["TITLE"] and (section.get("MARKS") or section.get("MARKS_WANTED")), "profile.dxf: no title, no marks"
plan = layers("plan")
(pipe,) = plan["PIPE"]
ends = pipe["geometry"]["coordinates"]
assert abs(ends[-1][2] - stations[-1]["elevation_m"]) < 0.006, "plan.dxf: the heights are others"

book = openpyxl.load_workbook(f"{work}/out/workbook.xlsx")
for sheet in book:
    with open(f"{work}/out/{sheet.title}.csv") as f:
        rows = list(csv.reader(f))
    assert sheet.max_row == len(rows) and sheet.max_column == len(rows[0]), f"workbook: {sheet.title} has another size"
    for row, cells in zip(rows, sheet.iter_rows(values_only=True)):
        for text, cell in zip(row, cells):
            if isinstance(cell, (int, float)):
                assert abs(float(text) - cell) < 1e-9, f"workbook, {sheet.title}: {cell} for {text}"
            else:
                assert text in (cell or "", f"'{cell}"), f"workbook, {sheet.title}: {cell} for {text}"
    print(f"openpyxl: {sheet.title}, {len(rows)} rows")
assert "stations" in book.sheetnames and "shopping" in book.sheetnames, book.sheetnames
P
