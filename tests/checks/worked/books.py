"""Level books, angle books, traverses, stadia, tapes and nets of levels, by the rules of any textbook of surveying."""

from math import atan2, cos, degrees, radians, sin, sqrt, tan


def level(row):
    """Heights by the height of instrument; rows are backsight/intersight/foresight."""
    height, hi, sums = row["rl0"], None, {"bs": 0.0, "fs": 0.0, "rise": 0.0, "fall": 0.0}
    heights, last = [], None
    for cell in row.texts["rows"].split("|"):
        bs, is_, fs = (float(v) if v.strip() else None for v in cell.split("/"))
        seen = fs if fs is not None else is_
        if seen is not None:
            height = hi - seen
            step = last - seen
            sums["rise" if step > 0 else "fall"] += abs(step)
            last = seen
        heights.append(height)
        if fs is not None:
            sums["fs"] += fs
        if bs is not None:
            sums["bs"] += bs
            hi, last = height + bs, bs
    return heights, hi, sums


def pairs(text):
    return [part.split() for part in text.split("|")]


def bearing(text):
    """N76E or S68-05-35W, in degrees from north."""
    parts = [float(v) for v in text[1:-1].split("-")]
    angle = sum(v / 60**k for k, v in enumerate(parts))
    north, east = (1 if text[0] == "N" else -1), (1 if text[-1] == "E" else -1)
    return degrees(atan2(east * sin(radians(angle)), north * cos(radians(angle)))) % 360


def traverse(row):
    """Sums of northings and eastings, and the compass rule (Bowditch) leg by leg."""
    legs = [(float(d), radians(bearing(b))) for d, b in pairs(row.texts["legs"])]
    total = sum(d for d, _ in legs)
    off = [sum(d * f(b) for d, b in legs) for f in (cos, sin)]
    adjusted = [[d * f(b) - o * d / total for d, b in legs] for f, o in zip((cos, sin), off)]
    return total, off, adjusted


def net(row):
    """Least squares of level differences: normal equations solved by elimination."""
    known = {n: float(h) for n, h in pairs(row.texts["known"])}
    rises = [(*leg.split("-"), float(v)) for leg, v in pairs(row.texts["rises"])]
    weights = row.list("weights") if "weights" in row else [1.0] * len(rises)
    names = sorted({n for a, b, _ in rises for n in (a, b)} - set(known))
    size = len(names)
    matrix = [[0.0] * (2 * size + 1) for _ in range(size)]
    for (a, b, rise), w in zip(rises, weights):
        signs = {a: -1.0, b: 1.0}
        aim = rise - sum(s * known.get(n, 0.0) for n, s in signs.items())
        inside = [(names.index(n), s) for n, s in signs.items() if n in names]
        for i, s in inside:
            for j, t in inside:
                matrix[i][j] += w * s * t
            matrix[i][-1] += w * s * aim
    for i in range(size):
        matrix[i][size + i] = 1.0
    for i in range(size):
        pivot = matrix[i][i]
        matrix[i] = [v / pivot for v in matrix[i]]
        for j in range(size):
            if j != i:
                factor = matrix[j][i]
                matrix[j] = [v - factor * u for v, u in zip(matrix[j], matrix[i])]
    heights = dict(known, **{n: matrix[i][-1] for i, n in enumerate(names)})
    vtpv = sum(w * (heights[b] - heights[a] - r) ** 2 for (a, b, r), w in zip(rises, weights))
    unit = sqrt(vtpv / (len(rises) - size))
    return heights, {n: unit * sqrt(matrix[i][size + i]) for i, n in enumerate(names)}, unit, vtpv


def angle(text):
    whole, minutes = text.split()
    sign = -1 if whole.startswith("-") else 1
    return radians(sign * (abs(float(whole)) + float(minutes) / 60))


def stadia(interval, a):
    """Level distance and rise of an anallactic telescope of constant 100: 100 s cos2 a, 100 s sin a cos a."""
    return 100 * interval * cos(a) ** 2, 100 * interval * sin(a) * cos(a)


def work(row):
    q = row.quantity
    if q.startswith("level book"):
        heights, hi, sums = level(row)
        if q == "level book height":
            return heights[int(row["point"]) - 1]
        if q == "level book instrument":
            return row["rl0"] + float(row.texts["rows"].split("/")[0])
        if q == "level book misclosure":
            return heights[-1] - row["end"]
        if q == "level book sum":
            return sums.get(row.texts["of"], heights[-1] - heights[0])
        if q == "level book one in":
            return (len(heights) - 1) * row["interval"] / abs(heights[-1] - heights[0])
    if q.startswith("net "):
        heights, sds, unit, vtpv = net(row)
        return {
            "net height": lambda: heights[row.texts["point"]],
            "net height sd": lambda: sds[row.texts["point"]],
            "net unit sd": lambda: unit,
            "net vtpv": lambda: vtpv,
        }[q]()
    if q.startswith("angle book"):
        legs = [(float(d), radians(float(a))) for d, a in pairs(row.texts["legs"])][: int(row["point"])]
        return {
            "angle book level": sum(d * cos(a) for d, a in legs),
            "angle book height": row["z0"] + sum(d * sin(a) for d, a in legs),
            "angle book station": sum(d for d, _ in legs),
        }[q]
    if q.startswith("traverse"):
        total, off, adjusted = traverse(row)
        if q == "traverse perimeter":
            return total
        if q.endswith("off"):
            return off[0 if "north" in q else 1]
        return adjusted[0 if "north" in q else 1][int(row["leg"]) - 1]
    if q == "stadia level":
        return stadia(row["interval"], angle(row.texts["angle"]))[0]
    if q == "stadia up":
        return stadia(row["interval"], angle(row.texts["angle"]))[1]
    if q == "stadia both ways":
        out = stadia(row["interval"], angle(row.texts["out"]))[1] + row["eye_out"] - row["rod_out"]
        back = stadia(row["interval"], angle(row.texts["back"]))[1] + row["eye_back"] - row["rod_back"]
        return row["z0"] + (out - back) / 2
    if q == "tape correction":
        read = row["read"]
        of = row.texts["of"]
        if of.startswith("temperature"):
            # 0.00000645 of the length a degree Fahrenheit, steel
            correction = 6.45e-6 * (row["temp_f"] - row["standard_f"]) * read
            return read + correction if of.endswith("length") else correction
        if of.startswith("sag"):
            spans, rest = divmod(read, row["span"])
            sag = lambda l: row["weight"] ** 2 * l**3 / (24 * row["pull"] ** 2)
            short = spans * sag(row["span"]) + sag(rest)
            return read - short if of.endswith("length") else -short
        if of == "pull":
            return (row["pull"] - row["standard_pull"]) * read / (row["section"] * row["modulus"])
        if of == "standard":
            return (row["true"] - row["nominal"]) * read / row["nominal"]
    return None
