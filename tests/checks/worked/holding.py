"""What holds a pipe: thrust, blocks, slopes, heat, floods. Statics of a thin tube, worked from the inputs alone."""

from math import atan, cos, degrees, pi, radians, sin, sqrt

G = 9.81
WATER = 1000.0
PE = 955.0
CORNERS = 0.5 - pi / 8  # half a square less half its circle, over its side squared
DROWNED = {"sand": 8640.0, "clay": 5700.0}  # loose fill under water, N/m3
PACKED_JOINT = 7297.0  # N a metre of girth: 500 lb/ft, the handbooks' packed expansion joint


def circle(d):
    return pi * d * d / 4


class Tube:
    """A polyethylene pipe by its outside and its ratio of outside to wall."""

    def __init__(self, row):
        self.od = row["od_m"]
        self.wall = self.od / row["sdr"]
        self.bore = self.od - 2 * self.wall
        self.section = circle(self.od) - circle(self.bore)

    def pipe(self):
        return PE * G * self.section

    def full(self):
        return self.pipe() + WATER * G * circle(self.bore)


class Penstock:
    """A steel pipe over a concrete block at a bend in profile."""

    def __init__(self, row):
        self.r = row
        d, t = row["bore_m"], row["wall_m"]
        self.above, self.below = radians(row["above_deg"]), radians(row["below_deg"])
        self.pipe = pi * (d + t) * t * row["steel"]
        self.water = circle(d) * row["water"]
        self.push = row["water"] * row["head_m"] * circle(d)
        flow = row.get("flow_m3_per_s", 0)
        self.momentum = WATER * flow * flow / circle(d)
        self.end = row["water"] * row["head_m"] * pi * (d + t) * t
        self.joint = PACKED_JOINT * pi * d

    def rests(self, slope):
        return (self.pipe + self.water) * self.r["rests_m"] * cos(slope)

    def piers(self):
        return self.r["pier_friction"] * (self.pipe + self.water) * self.r["slides_m"] * cos(self.above)

    def hangs(self):
        return self.pipe * self.r["hangs_m"] * sin(self.above)

    def force(self):
        """(forward, up): thrust of the bend, what slides and hangs along the pipe above, weight across both legs."""
        a, b = self.above, self.below
        size = self.push + self.momentum
        x, z = size * (cos(a) - cos(b)), size * (-sin(a) + sin(b))
        sense = 1 if self.r.texts["change"] == "warming" else -1
        along = self.hangs() + self.end + sense * (self.piers() + self.joint)
        x, z = x + along * cos(a), z - along * sin(a)
        for slope in (a, b):
            x, z = x - self.rests(slope) * sin(slope), z - self.rests(slope) * cos(slope)
        return x, z

    def block(self):
        """(sliding, overturning, largest pressure) of a block of 22 kN/m3."""
        x, z = self.force()
        l, w, h = (self.r[k] for k in ("length_m", "width_m", "height_m"))
        down = 22000 * l * w * h - z
        moment = abs(x) * self.r["bend_m"]
        out = moment / down
        largest = down / (l * w) * (1 + 6 * out / l) if out <= l / 6 else 2 * down / (3 * w * (l / 2 - out))
        return self.r["friction"] * down / abs(x), down * l / 2 / moment, largest


def bisect(f, low, high):
    for _ in range(200):
        mid = (low + high) / 2
        low, high = (mid, high) if f(mid) < 0 else (low, mid)
    return (low + high) / 2


def sine_length(rise, parts=4000):
    """Length of rise sin(pi x) over a chord of 1, by the midpoint rule."""
    return sum(sqrt(1 + (rise * pi * cos(pi * (k + 0.5) / parts)) ** 2) for k in range(parts)) / parts


def swing(row):
    n, long = row["length_m"], 1 + row["strain"]
    shape = row.texts["shape"]
    if shape == "straight":
        return n * sqrt(long * long - 1) / 2
    if shape == "sine":
        return n * bisect(lambda y: sine_length(y, 400) - long, 0, 1)
    half = bisect(lambda a: a / sin(a) - long, 1e-9, 1.5)
    return n * (1 - cos(half)) / (2 * sin(half))


def bend(row):
    """Vector sum of p A + rho Q V before and after a bend."""
    area = circle(row["seal_m"])
    flow = row.get("flow_m3_per_s", 0)
    if "speed_m_per_s" in row:
        flow = row["speed_m_per_s"] * area
    return row["pressure_pa"] * area + WATER * flow * flow / area


def work(row):
    q = row.quantity
    kilo = 1e3 if row.unit.startswith("k") and row.unit != "kg/m" else 1.0
    if q == "bearing area":
        return 1.5 * row["force_n"] / row["allowed_pa"]
    if q == "weight against uplift":
        # 1.5 against lifting and 1.5 against sliding with what the lift leaves of the weight
        return max(1.5 * row["up_n"], row["up_n"] + 1.5 * row["level_n"] / row["friction"])
    if q == "volume of a weight":
        return row["weight_n"] / 22000
    if q.startswith(("block ", "force on a block", "joint ", "pier ", "shell ", "weight that")):
        p = Penstock(row)
        found = {
            "block momentum": lambda: 2 * p.momentum * sin((p.below - p.above) / 2),
            "block thrust": lambda: 2 * p.push * sin((p.below - p.above) / 2),
            "block pressure, largest": lambda: p.block()[2],
            "block safety, overturning": lambda: p.block()[1],
            "block safety, sliding": lambda: p.block()[0],
            "force on a block, forward": lambda: p.force()[0],
            "force on a block, up": lambda: p.force()[1],
            "joint end pressure": lambda: p.end,
            "joint friction": lambda: p.joint,
            "pier friction": lambda: p.piers(),
            "shell water": lambda: p.water,
            "shell weight": lambda: p.pipe,
            "weight that hangs on a block": lambda: p.hangs(),
            "weight that rests on a block": lambda: p.rests(p.above),
        }.get(q)
        return found() / kilo if found else None
    if q.startswith("bend in profile"):
        a, b = radians(row["above_deg"]), radians(row["below_deg"])
        size = bend(row)
        return size * ((cos(a) - cos(b)) if q.endswith("forward") else (sin(b) - sin(a))) / kilo
    if q == "thrust of a bend":
        return 2 * bend(row) * sin(radians(row["angle_deg"]) / 2) / kilo
    if q.startswith("part of a bend thrust"):
        angle = radians(row["angle_deg"])
        size = row["pressure_pa"] * row["area_m2"]
        return size * ((1 - cos(angle)) if q.endswith("forward") else sin(angle)) / kilo
    if q == "thrust of an end":
        return row["pressure_pa"] * circle(row["seal_m"]) / kilo
    if q == "thrust of a reducer":
        return row["pressure_pa"] * (circle(row["seal_m"]) - circle(row["seal_out_m"])) / kilo
    if q == "thrust of a tapering bend":
        a1, a2 = circle(row["bore_m"]), circle(row["bore_out_m"])
        v1 = row["speed_m_per_s"]
        v2 = v1 * a1 / a2
        p2 = row["pressure_pa"] + WATER * (v1 * v1 - v2 * v2) / 2
        f1, f2 = row["pressure_pa"] * a1 + WATER * a1 * v1 * v1, p2 * a2 + WATER * a2 * v2 * v2
        angle = radians(row["angle_deg"])
        return sqrt((f1 - f2 * cos(angle)) ** 2 + (f2 * sin(angle)) ** 2) / kilo
    if q == "slope that lets go":
        return degrees(atan(row["friction"]))
    if q == "weight of full pipe":
        return Tube(row).full()
    if q in ("force along a slope", "anchor spacing"):
        slope = radians(row["slope_deg"])
        pull = Tube(row).full() * (sin(slope) - row["friction"] * cos(slope))
        return pull if q.startswith("force") else row["strength_n"] / (1.5 * pull)
    if q == "held force":
        return row["modulus_pa"] * row["expansion"] * row["kelvin"] * Tube(row).section
    if q == "shortening pull":
        t = Tube(row)
        return 0.45 * row["pressure_pa"] * (t.od - t.wall) / (2 * t.wall) * t.section
    if q == "swing between guides":
        return 1e3 * row["length_m"] * sqrt(row["strain"] / 2)
    if q == "guide spacing":
        return row["swing_m"] / sqrt(row["strain"] / 2)
    if q == "exact swing":
        return swing(row)
    if q == "drag":
        return 1.2 * WATER / 2 * row["speed_m_per_s"] ** 2 * row["height_m"]
    if q in ("lift of an empty pipe", "lift of a full pipe", "ballast", "strap spacing"):
        t = Tube(row)
        empty = WATER * G * circle(t.od) - t.pipe()
        if q == "lift of an empty pipe":
            return empty
        if q == "lift of a full pipe":
            return (WATER - PE) * G * t.section
        if q == "ballast":
            return 1.25 * empty / (1 - WATER / 2400) / G
        drag = 1.2 * WATER / 2 * row["speed_m_per_s"] ** 2 * t.od
        return row["strength_n"] / (2 * sqrt(empty**2 + drag**2))
    if q == "fill that rises with a pipe":
        return row["od_m"] * row["cover_m"] + CORNERS * row["od_m"] ** 2
    if q in ("safety against uplift", "cover against uplift"):
        t, weighs = Tube(row), DROWNED[row.texts["soil"]]
        up = WATER * G * circle(t.od)
        if q.startswith("cover"):
            return (1.3 * up - t.pipe()) / weighs / t.od - CORNERS * t.od
        return (t.pipe() + weighs * (t.od * row["cover_m"] + CORNERS * t.od**2)) / up
    return None
