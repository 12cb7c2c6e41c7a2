#!/usr/bin/env bash
# Every row of the ledger that cites an independent calculation is worked out anew by the scripts beside it, which share no code with the program.
set -euo pipefail
cd "$(dirname "$0")/.."
command -v python3 >/dev/null || { export DEBIAN_FRONTEND=noninteractive; apt-get update -q >/dev/null; apt-get install -y -q --no-install-recommends python3 >/dev/null; }
PYTHONDONTWRITEBYTECODE=1 python3 tests/checks/worked/run.py
