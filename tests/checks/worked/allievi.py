"""Allievi's interlocking equations for a straight closing or opening of a nozzle at the end of a frictionless pipe.

Heads over the static head h, opening eta, q = eta sign(h) sqrt|h|, rho = a V0 / (2 g H0), time in pipe periods 2L/a:
    h_i + h_(i-1) - 2 = 2 rho (q_(i-1) - q_i)
followed at every offset within a period (here at 1,000).
"""

from functools import lru_cache
from math import sqrt

OFFSETS = 1000


def head(c, rho, eta):
    """h of h + 2 rho eta sign(h) sqrt|h| = c."""
    k = rho * eta
    root = -k + sqrt(k * k + abs(c))
    return root * root if c >= 0 else -root * root


def flow(h, eta):
    return eta * (sqrt(h) if h >= 0 else -sqrt(-h))


@lru_cache(maxsize=None)
def extremes(rho, phases, closes, share=None):
    """(highest, when, lowest, when). A closing repeats its extremes without friction: the first of them count. With a share, the opening goes from 1 to it."""
    if share is not None:
        opening = lambda t: 1 + (share - 1) * min(1.0, t / phases)
    else:
        opening = lambda t: max(0.0, 1 - t / phases) if closes else min(1.0, t / phases)
    last = phases + (1.0 if closes else 3.0)
    highest, lowest = (1.0, 0.0), (1.0, 0.0)
    for k in range(1, OFFSETS + 1):
        h, q, t = 1.0, 1.0 if closes else 0.0, k / OFFSETS
        while t <= last + 1e-9:
            eta = opening(t)
            h = head(2 - h + 2 * rho * q, rho, eta)
            q = flow(h, eta)
            if h > highest[0] + 1e-12:
                highest = (h, t)
            if h < lowest[0] - 1e-12:
                lowest = (h, t)
            t += 1
    return highest + lowest


def at(row, time):
    """The head of a closing at an instant."""
    rho, phases = row["pipe_number"], row["phases"]
    h, q, t = 1.0, 1.0, time % 1.0
    while t <= time + 1e-9:
        eta = max(0.0, 1 - t / phases)
        h = head(2 - h + 2 * rho * q, rho, eta)
        q = flow(h, eta)
        t += 1
    return h


WHICH = {
    "highest head of a straight closing, chained": (0, True),
    "highest head of a straight closing, marched": (0, True),
    "lowest head of a straight closing, chained": (2, True),
    "lowest head of a straight closing, marched": (2, True),
    "when the highest head stands": (1, True),
    "when the lowest head stands": (3, True),
    "highest head of a straight opening, marched": (0, False),
    "lowest head of a straight opening, marched": (2, False),
    "lowest head of a straight opening, closed form": (2, False),
}


RUNAWAY = {"highest head of a runner that chokes, marched": 0, "lowest head of a runner that opens, marched": 2}


def work(row):
    if row.quantity in RUNAWAY:
        return extremes(row["pipe_number"], row["phases"], True, row["share"])[RUNAWAY[row.quantity]]
    if row.quantity not in WHICH:
        return None
    which, closes = WHICH[row.quantity]
    found = extremes(row["pipe_number"], row["phases"], closes)
    if which in (1, 3) and abs(at(row, row.value) - found[which - 1]) < 1e-9:
        # A flat top: any instant at which the head stands there is right.
        return row.value
    return found[which]
