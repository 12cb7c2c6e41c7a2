"""Pipes in series along the characteristics, with a nozzle that passes a flow at the head that friction leaves, and closed forms of surge.

    C+: H_P = C_P - B_P Q_P,  C_P = H_A + B Q_A - R Q_A |Q_A| / 2,  B_P = B + R |Q_A| / 2
    C-: H_P = C_M + B_M Q_P,  C_M = H_B - B Q_B + R Q_B |Q_B| / 2,  B_M = B + R |Q_B| / 2
    B = a / (g A),  R = f dx / (2 g D A2), the friction of a reach half by its beginning and half by its end: second order
as in E. B. Wylie and V. L. Streeter, Fluid Transients in Systems (1993), chapter 3, form from memory.
"""

from functools import lru_cache
from math import pi, sqrt

G = 9.81


def plus(h, q, B, R):
    return h + B * q - R * q * abs(q) / 2, B + R * abs(q) / 2


def minus(h, q, B, R):
    return h - B * q + R * q * abs(q) / 2, B + R * abs(q) / 2


class March:
    def __init__(self, row):
        r = row
        self.lengths, self.bores = r.list("lengths_m"), r.list("bores_m")
        self.speeds, frictions = r.list("speeds_m_per_s"), r.list("frictions")
        self.total = sum(self.lengths)
        travel = sum(l / a for l, a in zip(self.lengths, self.speeds))
        self.dt = travel / r["cells"]
        level, flow = r["level_m"], r["flow_m3_per_s"]
        opening = "opening" in r
        times = r.list("over_s")
        shares = r.list("shares") if "shares" in r else [1.0 if opening else 0.0]
        jets = r.get("jets", 1)
        pipes = []
        for l, d, a, f in zip(self.lengths, self.bores, self.speeds, frictions):
            n = max(1, round(l / a / self.dt))
            area = pi * d * d / 4
            a = l / (n * self.dt)
            pipes.append((n, l / n, a / (G * area), f * (l / n) / (2 * G * d * area * area)))
        lost = sum(n * R * flow * flow for n, _, _, R in pipes)
        cv = flow / sqrt(level - lost)
        q0 = 0.0 if opening else flow
        H, Q, at, h, x = [], [], [], level, 0.0
        for n, dx, _, R in pipes:
            H.append([h - k * R * q0 * abs(q0) for k in range(n + 1)])
            Q.append([q0] * (n + 1))
            at.append([x + k * dx for k in range(n + 1)])
            h, x = H[-1][-1], at[-1][-1]

        def share(t):
            was, begun = (0.0 if opening else 1.0), 0.0
            for over, to in zip(times, shares):
                if over <= 0:
                    if t > begun:
                        was = to
                    continue
                if t < begun + over:
                    return was + (to - was) * max(0.0, t - begun) / over
                was, begun = to, begun + over
            return was

        def nozzle(cp, B, t):
            """Q = k sign(H) sqrt|H| and H = cp - B Q."""
            k = cv * ((1 - 1 / jets) + share(t) / jets)
            root = (-B * k + sqrt((B * k) ** 2 + 4 * abs(cp))) / 2
            end = root * root if cp >= 0 else -root * root
            return end, (cp - end) / B

        if times[0] <= 0:
            # What moves in an instant has moved at the instant 0: dH = B dQ there, before any friction.
            B = pipes[-1][2]
            H[-1][-1], Q[-1][-1] = nozzle(H[-1][-1] + B * Q[-1][-1], B, 1e-12)
        self.at = at
        self.high = [row[:] for row in H]
        self.low = [row[:] for row in H]
        self.past = [[row[:] for row in H]]
        last = len(pipes) - 1
        for step in range(1, int(r["duration_s"] / self.dt + 0.5) + 1):
            t = step * self.dt
            newH, newQ = [None] * len(pipes), [None] * len(pipes)
            for p, (n, _, B, R) in enumerate(pipes):
                h, q = H[p], Q[p]
                hn, qn = [0.0] * (n + 1), [0.0] * (n + 1)
                for i in range(1, n):
                    (cp, bp), (cm, bm) = plus(h[i - 1], q[i - 1], B, R), minus(h[i + 1], q[i + 1], B, R)
                    qn[i] = (cp - cm) / (bp + bm)
                    hn[i] = cp - bp * qn[i]
                newH[p], newQ[p] = hn, qn
            for p in range(len(pipes)):
                n, _, B, R = pipes[p]
                cm, bm = minus(H[p][1], Q[p][1], B, R)
                if p == 0:
                    newH[0][0], newQ[0][0] = level, (level - cm) / bm
                else:
                    m, _, Bu, Ru = pipes[p - 1]
                    cp, bp = plus(H[p - 1][m - 1], Q[p - 1][m - 1], Bu, Ru)
                    joint = (cp / bp + cm / bm) / (1 / bp + 1 / bm)
                    newH[p - 1][m] = newH[p][0] = joint
                    newQ[p - 1][m] = newQ[p][0] = (cp - joint) / bp
            n, _, B, R = pipes[last]
            cp, bp = plus(H[last][n - 1], Q[last][n - 1], B, R)
            newH[last][n], newQ[last][n] = nozzle(cp, bp, t)
            H, Q = newH, newQ
            for p in range(len(pipes)):
                self.high[p] = [max(a, b) for a, b in zip(self.high[p], H[p])]
                self.low[p] = [min(a, b) for a, b in zip(self.low[p], H[p])]
            self.past.append(H)
        # What stands at the outlet just before a wave arrives, where a step ends as it does.
        self.outlet = [H[-1][-1] for H in self.past]
        before = list(self.outlet)
        for k in range(3, len(before)):
            # Heads go up by stairs of two steps: the rise of one is half of that.
            rise = (self.outlet[k - 1] - self.outlet[k - 3]) / 2
            if abs(self.outlet[k] - self.outlet[k - 1]) > 5 * abs(rise) + 1:
                before[k] = self.outlet[k - 1] + rise
        self.before = before
        self.last_flow, self.last_head = Q[last][-1], H[last][-1]

    def along(self, heads, station):
        for p, at in enumerate(self.at):
            if station <= at[-1] + 1e-9:
                return line(at, heads[p], station)
        raise ValueError(station)

    def head(self, station, time):
        heads = self.before if station >= self.total - 1e-9 else [self.along(H, station) for H in self.past]
        return line([k * self.dt for k in range(len(heads))], heads, time)

    def first_below(self, station, head):
        before = None
        for k, H in enumerate(self.past):
            now = self.along(H, station)
            if now < head:
                return (k - 1 + (before - head) / (before - now)) * self.dt
            before = now
        raise ValueError("it never falls below")


def line(xs, ys, x):
    """Between two neighbours, in a straight line."""
    for (x0, y0), (x1, y1) in zip(zip(xs, ys), zip(xs[1:], ys[1:])):
        if x <= x1 + 1e-9:
            return y0 if x1 == x0 else y0 + (y1 - y0) * min(1.0, max(0.0, (x - x0) / (x1 - x0)))
    return ys[-1]


MADE = ("lengths_m", "bores_m", "speeds_m_per_s", "frictions", "level_m", "flow_m3_per_s", "cells", "over_s", "shares", "jets", "opening", "duration_s")
KEPT = {}


def march(row):
    key = tuple(row.texts.get(name) for name in MADE)
    if key not in KEPT:
        KEPT[key] = March(row)
    return KEPT[key]


def work(row):
    q = row.quantity
    if q.startswith("marched"):
        m = march(row)
        if q == "marched highest head at a station":
            return m.along(m.high, row["station_m"])
        if q == "marched lowest head at a station":
            return m.along(m.low, row["station_m"])
        if q == "marched highest head at the outlet":
            return max(m.outlet + m.before)
        if q == "marched lowest head at the outlet":
            return min(m.outlet + m.before)
        if q in ("marched head at a station at a time", "marched head at a station between steps"):
            return m.head(row["station_m"], row["time_s"])
        if q == "marched flow at last":
            return m.last_flow
        if q == "marched head at last":
            return m.last_head
        if q == "marched head after the first instant":
            return m.past[1][-1][-1]
        pipe = line(row.list("vertices_m"), row.list("heights_m"), row["station_m"])
        if q == "marched least pressure head at a vertex":
            return m.along(m.low, row["station_m"]) - pipe
        if q == "marched time of a first fall below":
            return m.first_below(row["station_m"], pipe + row["below_m"])
    if q == "Joukowsky's rise":
        return row["speed_m_per_s"] * row["velocity_m_per_s"] / row["gravity"]
    if q == "Michaud's rise":
        return 2 * row["length_m"] * row["velocity_m_per_s"] / (row["gravity"] * row["over_s"])
    if q == "critical time of one pipe":
        return 2 * row["length_m"] / row["speed_m_per_s"]
    if q == "blocked-jet rule":
        return row["speed_m_per_s"] * row["velocity_m_per_s"] / (row["gravity"] * row["jets"])
    if q == "rigid-column rise over head":
        k = row["n"] ** 2
        return k / 2 + sqrt(k + k * k / 4)
    if q in ("equivalent wave speed of tubes in series", "time of a wave to the intake and back"):
        lengths = row.list("lengths_m")
        travel = sum(l / a for l, a in zip(lengths, row.list("speeds_m_per_s")))
        return sum(lengths) / travel if q.startswith("equivalent") else 2 * travel
    if q in ("wave speed in a pipe", "wave speed with free gas"):
        return wave_speed(row)
    return None


def wave_speed(row):
    """a2 = (K/rho) / (1 + c1 (K/E)(D/e)), with gas 1/(rho a2) = (1 - x)/K + x/p + c1 D/(E e)."""
    nu, d, e = row["poisson"], row["bore_mm"] / 1e3, row["wall_mm"] / 1e3
    c1 = {"upstream": 1 - nu / 2, "throughout": 1 - nu * nu, "sliding": 1.0}[row.texts["held"]]
    if row.texts["wall"] == "thick":
        c1 = 2 * e / d * (1 + nu) + d / (d + e) * c1
    bulk, modulus, density = row["bulk_gpa"] * 1e9, row["modulus_gpa"] * 1e9, row["density"]
    x = row.get("gas_share", 0)
    p = row.get("absolute_pa", 101325)
    mixed = (1 - x) * density + x * 1.247 * p / 101325
    return 1 / sqrt(mixed * ((1 - x) / bulk + x / p + c1 * d / (modulus * e)))
