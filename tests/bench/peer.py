"""What a practitioner would script today, for docs/speed.md: one walk from GPX to a profile, Colebrook, one closing valve, a chart.

By hand: python3 tests/bench/peer.py sample-surveys/otter-gill/walk.gpx (needs numpy and matplotlib). It trusts every fix, knows no doubt, and marches one pipe.
"""

import math
import sys
import xml.etree.ElementTree as ET

import matplotlib

matplotlib.use("Agg")
import matplotlib.pyplot as plt
import numpy as np

G = 9.81
BORE_M, ROUGH_M, WAVE_M_PER_S, FLOW_M3_PER_S, CLOSED_IN_S = 0.09, 0.01e-3, 330.0, 0.012, 10.0

# The first segment of the track, fix by fix, as it stands in the file.
root = ET.parse(sys.argv[1]).getroot()
space = root.tag.split("}")[0] + "}"
segment = next(root.iter(space + "trkseg"))
fixes = [
    (float(p.get("lat")), float(p.get("lon")), float(p.find(space + "ele").text))
    for p in segment.iter(space + "trkpt")
]
lat, lon, ele = np.radians([f[0] for f in fixes]), np.radians([f[1] for f in fixes]), np.array([f[2] for f in fixes])
# Great-circle steps on a sphere, added up.
a = np.sin(np.diff(lat) / 2) ** 2 + np.cos(lat[:-1]) * np.cos(lat[1:]) * np.sin(np.diff(lon) / 2) ** 2
step = 2 * 6_371_000.0 * np.arcsin(np.sqrt(a))
step = np.hypot(step, np.diff(ele))
station = np.concatenate([[0.0], np.cumsum(step)])
if ele[0] < ele[-1]:
    station, ele = station[-1] - station[::-1], ele[::-1]
length, drop = station[-1], ele[0] - ele[-1]

# Friction factor after Colebrook, by going round.
area = math.pi * BORE_M**2 / 4
speed = FLOW_M3_PER_S / area
reynolds = speed * BORE_M / 1.3e-6
factor = 0.02
for _ in range(50):
    factor = (-2 * math.log10(ROUGH_M / (3.7 * BORE_M) + 2.51 / (reynolds * math.sqrt(factor)))) ** -2
loss = factor * length / BORE_M * speed**2 / (2 * G)

# One pipe of 100 cells by characteristics, its valve closing evenly.
cells = 100
dt = length / cells / WAVE_M_PER_S
b = WAVE_M_PER_S / (G * area)
r = factor * (length / cells) / (2 * G * BORE_M * area**2)
head = ele[0] - loss * np.linspace(0, 1, cells + 1)
flow = np.full(cells + 1, FLOW_M3_PER_S)
start = head[-1] - ele[-1]
highest, lowest = head.copy(), head.copy()
for n in range(int((CLOSED_IN_S + 8 * length / WAVE_M_PER_S) / dt)):
    down = head[:-1] + flow[:-1] * (b - r * np.abs(flow[:-1]))
    up = head[1:] - flow[1:] * (b - r * np.abs(flow[1:]))
    head[1:-1], flow[1:-1] = (down[:-1] + up[1:]) / 2, (down[:-1] - up[1:]) / (2 * b)
    flow[0] = (ele[0] - up[0]) / b
    head[0] = ele[0]
    open_share = max(0.0, 1 - n * dt / CLOSED_IN_S)
    c = (FLOW_M3_PER_S * open_share) ** 2 / start
    q = c * (-b + math.sqrt(b * b + 4 * max(down[-1] - ele[-1], 0.0) / c)) / 2 if c > 0 else 0.0
    flow[-1], head[-1] = q, down[-1] - b * q
    np.maximum(highest, head, out=highest)
    np.minimum(lowest, head, out=lowest)

fig, axes = plt.subplots(figsize=(11, 7))
axes.plot(station, ele, label="pipe")
axes.plot(np.linspace(0, length, cells + 1), highest, label="highest head")
axes.plot(np.linspace(0, length, cells + 1), lowest, label="lowest head")
axes.set_xlabel("station, m")
axes.set_ylabel("elevation, m")
axes.legend()
fig.savefig("/dev/null", format="svg")
print(f"length {length:.0f} m, drop {drop:.1f} m, loss {loss:.1f} m, highest head at the valve {highest[-1] - ele[-1]:.0f} m")
