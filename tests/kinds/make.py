"""Makes the small files beside it: one invented walk on the open sea and two invented books, in every kind of file that is read.

They are written here by hand, byte by byte where the kind asks for it, and not by a library that our readers use: a reader and its file share no code.
python3 make.py; the same bytes every time. MIT, as the project.
"""

import gzip
import io
import json
import math
import struct
import zipfile
from datetime import datetime, timedelta, timezone
from pathlib import Path

HERE = Path(__file__).parent
START = datetime(2026, 5, 14, 9, 30, tzinfo=timezone.utc)
SEMI = 180 / 2**31


def semicircles(degrees):
    return round(degrees / SEMI)


def walk():
    """Two stretches with a stop between; positions on FIT's grid, heights on its fifth of a metre, so that every kind can hold them."""
    fixes, second = [], 0
    for i in range(240):
        if i == 120:
            second += 95
        along = 1.25 * i
        lat = semicircles(47.5 - along * 0.8 / 111_195) * SEMI
        lon = semicircles(-30.25 + (along * 0.6 + 3 * math.sin(along / 40)) / (111_195 * math.cos(math.radians(47.5)))) * SEMI
        height = 60 - 0.13 * along + (1.4 * math.exp(-(((along - 170) / 12) ** 2)) if along > 120 else 0) + 0.3 * math.sin(i * 1.7)
        fixes.append((lat, lon, round(height * 5) / 5, START + timedelta(seconds=second), 3.0 + (i % 5)))
        second += 1
    return [fixes[:120], fixes[120:]]


WALK = walk()
PLACES = [("intake", WALK[0][0]), ("powerhouse", WALK[1][-1])]
stamp = lambda t: t.strftime("%Y-%m-%dT%H:%M:%SZ")


def gpx():
    out = ['<?xml version="1.0" encoding="UTF-8"?>\n<gpx version="1.1" creator="make.py" xmlns="http://www.topografix.com/GPX/1/1">\n']
    for name, f in PLACES:
        out.append(f'<wpt lat="{f[0]:.9f}" lon="{f[1]:.9f}"><ele>{f[2]:.1f}</ele><name>{name}</name></wpt>\n')
    out.append("<trk><name>walk</name>\n")
    for stretch in WALK:
        out.append("<trkseg>\n")
        for lat, lon, h, t, _ in stretch:
            out.append(f'<trkpt lat="{lat:.9f}" lon="{lon:.9f}"><ele>{h:.1f}</ele><time>{stamp(t)}</time></trkpt>\n')
        out.append("</trkseg>\n")
    return "".join(out) + "</trk></gpx>\n"


def kml():
    out = ['<?xml version="1.0" encoding="UTF-8"?>\n<kml xmlns="http://www.opengis.net/kml/2.2" xmlns:gx="urn:gx"><Document><name>walk &amp; places</name>\n']
    for name, f in PLACES:
        out.append(f"<Placemark><name>{name}</name><Point><coordinates>{f[1]:.9f},{f[0]:.9f},{f[2]:.1f}</coordinates></Point></Placemark>\n")
    out.append("<Placemark><name>walk</name><gx:MultiTrack>\n")
    for stretch in WALK:
        out.append("<gx:Track><altitudeMode>absolute</altitudeMode>\n")
        out += [f"<when>{stamp(f[3])}</when>\n" for f in stretch]
        out += [f"<gx:coord>{f[1]:.9f} {f[0]:.9f} {f[2]:.1f}</gx:coord>\n" for f in stretch]
        out.append('<ExtendedData><SchemaData schemaUrl="#s"><gx:SimpleArrayData name="accuracy">\n')
        out += [f"<gx:value>{f[4]:.1f}</gx:value>\n" for f in stretch]
        out.append("</gx:SimpleArrayData></SchemaData></ExtendedData></gx:Track>\n")
    return "".join(out) + "</gx:MultiTrack></Placemark></Document></kml>\n"


def tcx():
    out = ['<?xml version="1.0" encoding="UTF-8"?>\n<TrainingCenterDatabase><Activities><Activity Sport="Other">']
    out.append(f"<Id>{stamp(START)}</Id>\n")
    # Two laps in the first stretch, without a stop between them.
    laps = [WALK[0][:60], WALK[0][60:], WALK[1]]
    for lap in laps:
        out.append(f'<Lap StartTime="{stamp(lap[0][3])}"><TotalTimeSeconds>{len(lap)}</TotalTimeSeconds><Track>\n')
        for lat, lon, h, t, _ in lap:
            out.append(f"<Trackpoint><Time>{stamp(t)}</Time><Position><LatitudeDegrees>{lat:.9f}</LatitudeDegrees><LongitudeDegrees>{lon:.9f}</LongitudeDegrees></Position><AltitudeMeters>{h:.1f}</AltitudeMeters></Trackpoint>\n")
        out.append("</Track></Lap>\n")
    return "".join(out) + "</Activity></Activities></TrainingCenterDatabase>\n"


def crc16(data):
    table = [0x0000, 0xCC01, 0xD801, 0x1400, 0xF001, 0x3C00, 0x2800, 0xE401, 0xA001, 0x6C00, 0x7800, 0xB401, 0x5000, 0x9C01, 0x8801, 0x4400]
    crc = 0
    for byte in data:
        for nibble in (byte & 15, byte >> 4):
            crc = ((crc >> 4) & 0x0FFF) ^ table[crc & 15] ^ table[nibble]
    return crc


def fit(stretches):
    since = lambda t: int((t - datetime(1989, 12, 31, tzinfo=timezone.utc)).total_seconds())
    define = lambda local, number, fields: struct.pack("<BBBHB", 0x40 | local, 0, 0, number, len(fields)) + b"".join(struct.pack("BBB", *f) for f in fields)
    data = define(0, 0, [(0, 1, 0x00), (1, 2, 0x84), (4, 4, 0x86)]) + struct.pack("<BBHI", 0, 4, 255, since(START))
    data += define(1, 21, [(253, 4, 0x86), (0, 1, 0x00), (1, 1, 0x00)])
    data += define(2, 20, [(253, 4, 0x86), (0, 4, 0x85), (1, 4, 0x85), (2, 2, 0x84), (78, 4, 0x86), (31, 1, 0x02)])
    for stretch in stretches:
        data += struct.pack("<BIBB", 1, since(stretch[0][3]), 0, 0)
        # The clock runs before the sky is seen: no position, no height.
        data += struct.pack("<BIiiHIB", 2, since(stretch[0][3]) - 1, 0x7FFFFFFF, 0x7FFFFFFF, 0xFFFF, 0xFFFFFFFF, 0xFF)
        for lat, lon, h, t, accuracy in stretch:
            raw = round((h + 500) * 5)
            data += struct.pack("<BIiiHIB", 2, since(t), semicircles(lat), semicircles(lon), raw, raw, int(accuracy))
        data += struct.pack("<BIBB", 1, since(stretch[-1][3]), 0, 4)
    head = struct.pack("<BBHI4s", 14, 0x20, 2100, len(data), b".FIT")
    head += struct.pack("<H", crc16(head))
    return head + data + struct.pack("<H", crc16(head + data))


def nmea():
    def sentence(body):
        total = 0
        for byte in body.encode():
            total ^= byte
        return f"${body}*{total:02X}\r\n"

    def angle(value, letters, width):
        letter = letters[value < 0]
        whole = int(abs(value))
        return f"{whole:0{width}d}{(abs(value) - whole) * 60:011.8f},{letter}"

    out = []
    for stretch in WALK:
        for lat, lon, h, t, accuracy in stretch:
            clock = t.strftime("%H%M%S.00")
            place = f"{angle(lat, 'NS', 2)},{angle(lon, 'EW', 3)}"
            out.append(sentence(f"GNGGA,{clock},{place},1,12,{accuracy / 4:.2f},{h:.1f},M,49.0,M,,"))
            out.append(sentence(f"GNGST,{clock},2.0,,,,1.5,1.4,{accuracy:.1f}"))
            out.append(sentence(f"GNRMC,{clock},A,{place},2.4,150.0,{t.strftime('%d%m%y')},,,A"))
    # One garbled on the cable.
    out.insert(30, "$GNGGA,0930,47x*00\r\n")
    return "".join(out)


def geojson():
    point = lambda f: [round(f[1], 9), round(f[0], 9), f[2]]
    features = [{"type": "Feature", "properties": {"name": name}, "geometry": {"type": "Point", "coordinates": point(f)}} for name, f in PLACES]
    features.append(
        {
            "type": "Feature",
            "properties": {"name": "walk", "coordTimes": [[stamp(f[3]) for f in s] for s in WALK]},
            "geometry": {"type": "MultiLineString", "coordinates": [[point(f) for f in s] for s in WALK]},
        }
    )
    return json.dumps({"type": "FeatureCollection", "features": features}) + "\n"


def logger():
    rows = ["time,latitude,longitude,altitude (m),accuracy,vertical_accuracy,provider"]
    for stretch in WALK:
        for lat, lon, h, t, accuracy in stretch:
            rows.append(f"{t.strftime('%Y-%m-%dT%H:%M:%S.000Z')},{lat:.9f},{lon:.9f},{h:.1f},{accuracy / 2:.1f},{accuracy:.1f},gps")
    return "\n".join(rows) + "\n"


LEVELS = [
    ("Ch.", "B.S.", "I.S.", "F.S.", "R.L.", "Remarks"),
    (0, 1.212, None, None, 52.31, "peg at the weir"),
    (10, None, 2.04, None, None, ""),
    (20, 0.455, None, 3.102, None, "change"),
    (30, None, 1.5, None, None, ""),
    (40, None, 1.32, None, None, "a little up"),
    (50, None, None, 2.987, None, "end"),
]
OURS = ("station_m", "bs_m", "is_m", "fs_m", "elevation_m", "remark")


def level_csv():
    cell = lambda v: "" if v is None else str(v)
    return "\n".join(",".join(map(cell, row)) for row in [OURS, *LEVELS[1:]]) + "\n"


def packed(parts):
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as z:
        for name, data in parts:
            info = zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0))
            info.compress_type = zipfile.ZIP_DEFLATED
            z.writestr(info, data)
    return buffer.getvalue()


def xlsx():
    """A title, merged heads over a row of units, a height that is a formula's value, a second sheet that is none."""
    shared = []

    def cell(column, row, value):
        name = f"{'ABCDEF'[column]}{row}"
        if value is None or value == "":
            return ""
        if isinstance(value, str):
            if value not in shared:
                shared.append(value)
            return f'<c r="{name}" t="s"><v>{shared.index(value)}</v></c>'
        if value == 52.31:
            return f'<c r="{name}"><f>50+2.31</f><v>{value}</v></c>'
        return f'<c r="{name}"><v>{value}</v></c>'

    rows = [(1, ["Petrel Shoal, levels of the pipe"]), (2, ["by A., 14/5"]), (4, list(LEVELS[0])), (5, ["m", "m", "m", "m", "(m)", ""])]
    rows += [(6 + i, list(r)) for i, r in enumerate(LEVELS[1:])]
    body = "".join(f'<row r="{n}">' + "".join(cell(c, n, v) for c, v in enumerate(r)) + "</row>" for n, r in rows)
    sheet = lambda body: f'<?xml version="1.0" encoding="UTF-8"?>\n<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>{body}</sheetData>%s</worksheet>'
    other = '<row r="1"><c r="A1" t="inlineStr"><is><t>who</t></is></c><c r="B1" t="inlineStr"><is><t>paid</t></is></c></row>'
    relation = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
    strings = "".join(f"<si><t>{s}</t></si>" for s in shared)
    kind = "application/vnd.openxmlformats-officedocument.spreadsheetml"
    return packed(
        [
            ("[Content_Types].xml", f'<?xml version="1.0"?><Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" ContentType="application/xml"/><Override PartName="/xl/workbook.xml" ContentType="{kind}.sheet.main+xml"/><Override PartName="/xl/worksheets/sheet1.xml" ContentType="{kind}.worksheet+xml"/><Override PartName="/xl/worksheets/sheet2.xml" ContentType="{kind}.worksheet+xml"/><Override PartName="/xl/sharedStrings.xml" ContentType="{kind}.sharedStrings+xml"/></Types>'),
            ("_rels/.rels", f'<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="{relation}/officeDocument" Target="xl/workbook.xml"/></Relationships>'),
            ("xl/workbook.xml", f'<?xml version="1.0"?><workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="{relation}"><sheets><sheet name="Accounts" sheetId="2" r:id="rId2"/><sheet name="Levels" sheetId="1" r:id="rId1"/></sheets></workbook>'),
            ("xl/_rels/workbook.xml.rels", f'<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="{relation}/worksheet" Target="worksheets/sheet1.xml"/><Relationship Id="rId2" Type="{relation}/worksheet" Target="worksheets/sheet2.xml"/><Relationship Id="rId3" Type="{relation}/sharedStrings" Target="sharedStrings.xml"/></Relationships>'),
            ("xl/worksheets/sheet1.xml", sheet(body) % '<mergeCells count="1"><mergeCell ref="A1:F1"/></mergeCells>'),
            ("xl/worksheets/sheet2.xml", sheet(other) % ""),
            ("xl/sharedStrings.xml", f'<?xml version="1.0"?><sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" count="{len(shared)}" uniqueCount="{len(shared)}">{strings}</sst>'),
        ]
    )


def ods():
    def cell(value):
        if value is None or value == "":
            return "<table:table-cell/>"
        if isinstance(value, str):
            return f'<table:table-cell office:value-type="string"><text:p>{value}</text:p></table:table-cell>'
        return f'<table:table-cell office:value-type="float" office:value="{value}"><text:p>{value}</text:p></table:table-cell>'

    rows = [("Levels of the pipe",), tuple(f"{h} (m)" for h in LEVELS[0][:5]) + (LEVELS[0][5],), *LEVELS[1:]]
    body = "".join("<table:table-row>" + "".join(map(cell, r)) + '<table:table-cell table:number-columns-repeated="1000"/></table:table-row>' for r in rows)
    body += '<table:table-row table:number-rows-repeated="1048000"><table:table-cell table:number-columns-repeated="1006"/></table:table-row>'
    space = "urn:oasis:names:tc:opendocument:xmlns:"
    content = f'<?xml version="1.0" encoding="UTF-8"?><office:document-content xmlns:office="{space}office:1.0" xmlns:table="{space}table:1.0" xmlns:text="{space}text:1.0" office:version="1.3"><office:body><office:spreadsheet><table:table table:name="Levels">{body}</table:table></office:spreadsheet></office:body></office:document-content>'
    manifest = f'<?xml version="1.0"?><manifest:manifest xmlns:manifest="{space}manifest:1.0"><manifest:file-entry manifest:full-path="/" manifest:media-type="application/vnd.oasis.opendocument.spreadsheet"/><manifest:file-entry manifest:full-path="content.xml" manifest:media-type="text/xml"/></manifest:manifest>'
    return packed([("mimetype", "application/vnd.oasis.opendocument.spreadsheet"), ("content.xml", content), ("META-INF/manifest.xml", manifest)])


def points(heads):
    rows = [heads]
    for i in range(16):
        rows.append(f"{i + 1},{5000 - 7.5 * i:.3f},{1000 + 3.2 * i:.3f},{80 - 0.9 * i - (0.4 if i > 8 else 0):.3f},{'PIPE' if i % 5 else 'PEG'}")
    return "\n".join(rows) + "\n"


def write(name, data):
    (HERE / name).write_bytes(data if isinstance(data, bytes) else data.encode())


write("walk.gpx", gpx())
write("walk.kml", kml())
write("walk.kmz", packed([("doc.kml", kml()), ("files/photo.png", b"\x89PNG\r\n\x1a\n")]))
write("walk.tcx", tcx())
write("walk.fit", fit(WALK))
write("walk-chained.fit", fit(WALK[:1]) + fit(WALK[1:]))
write("walk.nmea", nmea())
write("walk.geojson", geojson())
write("walk.csv", logger())
write("walk.gpx.gz", gzip.compress(gpx().encode(), mtime=0))
write("walk.zip", packed([("out/walk.gpx", gpx()), ("out/notes.txt", "wet, wind from the west\n"), ("__MACOSX/._walk.gpx", b"\0\0")]))
write("level.csv", level_csv())
write("level.xlsx", xlsx())
write("level.ods", ods())
write("points.csv", points("point,north_m,east_m,height_m,remark"))
write("points-trade.csv", points("P,N (m),E (m),Z (m),D"))
write("points-bare.csv", points("")[1:])
