"""Works out anew every row that cites an independent calculation. Standard library only: python3 tests/checks/worked/run.py"""

import sys

import allievi
import books
import characteristics
import holding
import water
from rows import cited

PARTS = (allievi, characteristics, books, water, holding)


def main():
    wrong, agree = [], 0
    for row in cited():
        found = next((v for v in (part.work(row) for part in PARTS) if v is not None), None)
        if found is None:
            wrong.append(f"{row.id}: {row.quantity}: no calculation here")
        elif isinstance(found, str):
            if found != row.expected:
                wrong.append(f"{row.id}: {row.quantity}: {found}, the row says {row.expected}")
        elif row.value is None or abs(found - row.value) > row.tolerance * (1 + 1e-9) + 1e-12:
            wrong.append(f"{row.id}: {row.quantity}: {found:.9g}, the row says {row.expected} (+- {row.tolerance})")
        agree += 1
    agree -= len(wrong)
    print("\n".join(wrong))
    print(f"{agree} rows worked out anew, {len(wrong)} apart")
    sys.exit(bool(wrong))


main()
