"""Water and air at rest and in motion: friction by Colebrook and White, jets, crests, pockets by Boyle's law, orifices, the standard atmosphere."""

from math import acos, cos, exp, log10, pi, radians, sin, sqrt, tan

G = 9.81
KAPPA = 1.4
AIR_R = 287.05


def bisect(f, low, high):
    rising = f(low) < f(high)
    for _ in range(200):
        mid = (low + high) / 2
        if (f(mid) < 0) == rising:
            low = mid
        else:
            high = mid
    return (low + high) / 2


def friction_factor(velocity, bore, roughness, nu):
    """Colebrook and White (1939), Darcy's factor; laminar below 2,000."""
    reynolds = velocity * bore / nu
    if reynolds < 2000:
        return 64 / reynolds
    root = bisect(lambda x: x + 2 * log10(roughness / (3.7 * bore) + 2.51 * x / reynolds), 0.5, 60)
    return 1 / root**2


def loss(flow, bore, length, roughness, nu, k, g=G):
    v = flow / (pi * bore * bore / 4)
    return (friction_factor(v, bore, roughness, nu) * length / bore + k) * v * v / (2 * g)


def atmosphere_pa(altitude, geometric):
    """US Standard Atmosphere 1976, below 11 km."""
    h = altitude * 6356766 / (6356766 + altitude) if geometric else altitude
    return 101325 * (1 - 0.0065 * h / 288.15) ** (9.80665 * 0.0289644 / (8.31432 * 0.0065))


def vapour_pa(celsius):
    """Saturation pressure, IAPWS SR1-86(1992): W. Wagner and A. Pruss (1993), equation 1."""
    t = celsius + 273.15
    x = 1 - t / 647.096
    a = ((1, -7.85951783), (1.5, 1.84408259), (3, -11.7866497), (3.5, 22.6807411), (4, -15.9618719), (7.5, 1.80122502))
    return 22.064e6 * exp(647.096 / t * sum(c * x**n for n, c in a))


def density(celsius):
    """G. S. Kell (1975), water at one atmosphere, kg/m3."""
    t = celsius
    top = 999.83952 + t * (16.945176 + t * (-7.9870401e-3 + t * (-46.170461e-6 + t * (105.56302e-9 - 280.54253e-12 * t))))
    return top / (1 + 16.879850e-3 * t)


def orifice(bore_m, up_pa, down_pa, kelvin=288.15, coefficient=0.7):
    """Mass of air through an opening, kg/s: isentropic, choked below 0.528."""
    ratio = max(down_pa / up_pa, (2 / (KAPPA + 1)) ** (KAPPA / (KAPPA - 1)))
    term = 2 * KAPPA / (KAPPA - 1) * (ratio ** (2 / KAPPA) - ratio ** ((KAPPA + 1) / KAPPA))
    return coefficient * pi * bore_m**2 / 4 * up_pa * sqrt(term / (AIR_R * kelvin))


def cavity():
    """T. B. Benjamin (1968): the long cavity that drains a level full pipe. Lengths in bores, g = 1; (speed, depth)."""
    full = pi / 4

    def wet(depth):
        a = acos(1 - 2 * depth)
        area = (a - sin(a) * cos(a)) / 4
        moment = (sin(a) - sin(a) ** 3 / 3 - a * cos(a)) / 8
        return area, moment

    def balance(depth):
        area, moment = wet(depth)
        c2 = 2 * (1 - depth)
        c1 = c2 * (area / full) ** 2
        return full / 2 - c1 * full / 2 + c1 * full - moment - c2 * area

    depth = bisect(balance, 0.3, 0.8)
    area, _ = wet(depth)
    return sqrt(2 * (1 - depth)) * area / full, depth


def crests(row):
    points = row.list("points")
    heights = points[1::2]
    tops = [i for i in range(1, len(heights) - 1) if heights[i] > heights[i - 1] and heights[i] >= heights[i + 1]]
    legs = []
    for i in tops:
        j = i
        while j + 1 < len(heights) and heights[j + 1] < heights[j]:
            j += 1
        legs.append((heights[i], heights[j]))
    return heights, legs


def squeezed(heights, legs, air):
    """Heights of the pockets from the last crest up: air (c - l) = (air + N - c + h) h, N the grade line that the pocket works against."""
    line, out = heights[-1], []
    for crest, low in reversed(legs):
        b = air + line - crest
        h = min(crest - low, (-b + sqrt(b * b + 4 * air * (crest - low))) / 2)
        out.append(h)
        line += h
    return list(reversed(out)), line


ESCARAMEIA = ((0.06, 0.45), (0.12, 0.50), (0.30, 0.57), (float("inf"), 0.61))


def critical(row):
    slope = radians(row["slope_deg"])
    root = sqrt(sin(slope))
    froude = {
        "escarameia": lambda: 1.1 * (0.56 * root + next(s for n, s in ESCARAMEIA if row["size"] < n)),
        "wisner": lambda: 0.825 + 0.25 * root,
        "kent": lambda: 0.55 + 0.5 * root,
        "kalinske low": lambda: 4 / pi * sqrt(0.707 * tan(slope)),
        "kalinske high": lambda: 4 / pi * sqrt(sin(slope) / 0.71),
    }[row.texts["relation"]]()
    return froude * sqrt(G * row["bore_m"])


UNITS = {
    "m3/s": 1, "L/s": 1e-3, "m": 1, "m/s": 1, "MW": 1e6, "W": 1, "kW": 1e3, "ft": 0.3048, "ft/s": 0.3048,
    "cfs": 0.3048**3, "ft3/s": 0.3048**3, "hp": 745.699872, "gpm": 6.30901964e-5,
}


def running(row):
    """A line of one bore from a level to nozzles, or with a flow that is given."""
    g, nu, rho = row.get("g", 9.80665), row.get("nu", 1e-6), row.get("rho", 1000)
    bore, length = row["bores_m"], row["lengths_m"]
    rough, k = row["roughness_m"], row.get("k", 0)
    lost = lambda q: loss(q, bore, length, rough, nu, k, g)
    if "flow_m3_per_s" in row:
        flow = row["flow_m3_per_s"]
    else:
        area = row["nozzles"] * row["cd"] * pi * row["nozzle_m"] ** 2 / 4
        flow = bisect(lambda q: row["gross_m"] - lost(q) - (q / area) ** 2 / (2 * g), 1e-9, area * sqrt(2 * g * row["gross_m"]))
    net = row["gross_m"] - lost(flow)
    jet = row.get("cv", 1) * sqrt(2 * g * net)
    value = {
        "flow": lambda: flow,
        "friction": lambda: loss(flow, bore, length, rough, nu, 0, g),
        "loss": lambda: lost(flow),
        "jet speed": lambda: jet,
        "jet power": lambda: rho * flow * jet * jet / 2,
        "velocity": lambda: flow / (pi * bore * bore / 4),
    }[row.quantity.split(": ")[1]]()
    return value / UNITS[row.unit]


def hazen(row):
    c, q, d = row["c"], row["flow_m3_per_s"], row["bore_m"]
    if row.texts["form"] == "definition":
        v = q / (pi * d * d / 4) / 0.3048
        return 100 * (v / (1.318 * c * (d / 4 / 0.3048) ** 0.63)) ** (1 / 0.54)
    if row.texts["form"] == "us":
        return 0.2083 * (100 / c) ** 1.852 * (q / 6.30901964e-5) ** 1.852 / (d / 0.0254) ** 4.8655
    return 100 * 10.67 * q**1.852 / (c**1.852 * d**4.8704)


def crest(row):
    """A line over a crest: sealed it hangs, vented the crest stands at the air's pressure."""
    bore, rough, nu = row["bore_m"], row["roughness_m"], row["viscosity"]
    passes = lambda head, length, k: bisect(lambda q: loss(q, bore, length, rough, nu, k) - head, 1e-9, 1)
    gross = row["intake_m"] - row["end_m"]
    flow = passes(gross, row["end_at_m"], row["entrance_k"] + row["exit_k"])
    if row.quantity == "sealed flow":
        return flow * 1e3
    if row.quantity == "flow with the crest vented":
        return 1e3 * passes(row["intake_m"] - row["crest_m"], row["crest_at_m"], row["entrance_k"] + row["exit_k"])
    head = row["intake_m"] - row["crest_m"] - loss(flow, bore, row["crest_at_m"], rough, nu, row["entrance_k"] + 1)
    return "refused" if head < -10.33 else head


def two_humps(squeeze):
    """The line 'E2' in a smooth bore of 50 mm, open at its end: head left by the pockets, friction over the wetted length alone. Squeezed, each pocket by the pressure that runs at its crest: Boyle on an even leg."""
    air = 10.33
    legs = ((150, 100, 92, 70), (300, 97, 85, 80))

    def left(q):
        along = lambda length, k: loss(q, 0.05, length, 1e-9, 1.31e-6, k)
        taken = dry = 0.0
        for at, top, low, length in legs:
            over = 120 - along(at - dry, 1.5) - taken - top
            share = min(1, air / (air + over)) if squeeze and over > 0 else 1
            taken += share * (top - low)
            dry += share * length
        return 120 - 90 - taken - along(450 - dry, 1.5)

    return 1e3 * bisect(lambda q: -left(q), 1e-9, 1e-2)


def work(row):
    q = row.quantity
    if q.startswith("running state"):
        return running(row)
    if q == "Hazen-Williams slope":
        return hazen(row)
    if q == "pressure of the air":
        return atmosphere_pa(row["altitude_m"], True) if "altitude_m" in row else atmosphere_pa(row["geopotential_m"], False)
    if q == "boiling limit":
        return (atmosphere_pa(row["altitude_m"], True) - vapour_pa(row["celsius"])) / (density(row["celsius"]) * row["g"])
    if q == "air pressure head":
        return atmosphere_pa(row["altitude_m"], False) / row["weight_n_per_m3"]
    if q.startswith("draining cavity"):
        return cavity()[0 if q.endswith("froude") else 1]
    if q == "critical speed":
        return critical(row)
    if q == "pocket size number":
        return 4 * row["volume_m3"] / (pi * row["bore_m"] ** 3)
    if q in ("sealed flow", "sealed crest pressure head", "flow with the crest vented"):
        return crest(row)
    if q == "start margin, full legs":
        heights, legs = crests(row)
        vented = row.list("vented") if "vented" in row else []
        line = heights[-1]
        for i in range(len(legs), 0, -1):
            top, low = legs[i - 1]
            line = max(line, top) if i in vented else line + top - low
        return heights[0] - line
    if q == "start margin, squeezed":
        heights, legs = crests(row)
        return heights[0] - squeezed(heights, legs, row["air_head_m"])[1]
    if q == "squeezed pocket height":
        heights, legs = crests(row)
        return squeezed(heights, legs, row["air_head_m"])[0][int(row["crest"]) - 1]
    if q == "gauge with pockets":
        return (row["gross_head_m"] - sum(row.list("pockets_m"))) * row["weight_n_per_m3"] / 1e3
    if q == "flow with squeezed pockets":
        return two_humps(True)
    if q == "flow with full pockets":
        return two_humps(False)
    if q == "sonic ratio":
        return (2 / (KAPPA + 1)) ** (KAPPA / (KAPPA - 1))
    if q == "sonic vacuum":
        return row["air_pa"] * (1 - (2 / (KAPPA + 1)) ** (KAPPA / (KAPPA - 1))) / 1e3
    free = lambda pa: pa / (AIR_R * 288.15)
    if q == "free air let in":
        mass = orifice(row["bore_mm"] / 1e3, row["air_pa"], row["air_pa"] - row["vacuum_kpa"] * 1e3)
        return 1e3 * mass / free(row["air_pa"])
    if q == "air let out":
        inside = row["air_pa"] + row["inside_kpa"] * 1e3
        return 1e3 * orifice(row["bore_mm"] / 1e3, inside, row["air_pa"]) / free(inside)
    if q == "opening for free air":
        one = orifice(1e-3, row["air_pa"], row["air_pa"] - row["vacuum_kpa"] * 1e3) / free(row["air_pa"])
        return sqrt(row["flow_l_per_s"] / 1e3 / one)
    if q == "burst outflow":
        # Chezy, C = 110 in feet and seconds
        d = row["bore_in"] * 0.0254
        return 1e3 * 110 * sqrt(0.3048) * pi * d * d / 4 * sqrt(d / 4 * row["fall"])
    if q == "filling flow":
        return 1e3 * row["speed_m_per_s"] * pi * row["bore_m"] ** 2 / 4
    if q in ("emptying time", "first flow of a drain"):
        through = row["discharge"] * pi * (row["valve_mm"] / 1e3) ** 2 / 4 * sqrt(2 * G)
        if q.startswith("first"):
            return 1e3 * through * sqrt(row["head_m"])
        return pi * row["bore_m"] ** 2 / 4 * row["length_m"] / row["head_m"] * 2 * sqrt(row["head_m"]) / through
    if q == "energy of air":
        p = row["pressure_pa"] + row["air_pa"]
        return p * row["volume_m3"] / (KAPPA - 1) * (1 - (row["air_pa"] / p) ** ((KAPPA - 1) / KAPPA)) / 1e3
    if q == "energy of water":
        return row["pressure_pa"] ** 2 * row["volume_m3"] / (2 * row["bulk_modulus_pa"])
    if q == "slam of the last air":
        return row["wave_speed_m_per_s"] * row["speed_m_per_s"] / G
    if q == "standpipe top":
        return row["level_m"] + row["freeboard_m"] - row["pipe_m"]
    if q == "submergence over the crown":
        # J. L. Gordon (1970): S = 0.3 V sqrt(D) in feet and seconds, even approach
        return 0.3 / sqrt(0.3048) * row["speed_m_per_s"] * sqrt(row["bore_m"])
    return None
