"""Reads the rows of tests/checks whose source cites an independent calculation, and holds each against what these scripts work out."""

import csv
from pathlib import Path

CHECKS = Path(__file__).resolve().parent.parent


class Row:
    """One row: its inputs as text, numbers or lists."""

    def __init__(self, row):
        self.id, self.quantity, self.expected = row["id"], row["quantity"], row["expected"]
        self.unit, self.source = row["unit"], row["source"]
        self.texts = dict(pair.strip().split("=", 1) for pair in row["inputs"].split(";") if "=" in pair)
        absolute, relative = (float(row[k] or 0) for k in ("tolerance_abs", "tolerance_rel"))
        try:
            self.value = float(self.expected)
            self.tolerance = max(absolute, relative * abs(self.value))
        except ValueError:
            self.value, self.tolerance = None, None

    def __contains__(self, name):
        return name in self.texts

    def __getitem__(self, name):
        return float(self.texts[name])

    def get(self, name, default):
        return float(self.texts.get(name, default))

    def list(self, name):
        return [float(v) for v in self.texts[name].split()]


def cited():
    """Every row that says it was worked out independently."""
    rows = []
    for path in sorted(CHECKS.glob("*.csv")):
        with open(path, newline="", encoding="utf-8") as f:
            for row in csv.DictReader(f):
                if "independen" in (row.get("source") or "").lower():
                    rows.append(Row(row))
    return rows
