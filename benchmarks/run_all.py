"""Run every benchmark and print its figures; exit 1 if one of them breaks its limit."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).parent
SCRIPTS = (
    "planning_gap.py",
    "blend_cheapest.py",
    "planning_large.py",
    "seasons.py",
    "calm.py",
    "incidence_fit.py",
    "heat_bags.py",
    "heat_judging.py",
    "heat_watching.py",
    "room_year.py",
    "label_decode.py",
    "ledger_record.py",
    "ledger_scale.py",
    "scan_record.py",
    "web_pages.py",
)


def main() -> int:
    """Run them one after another."""
    broken = []
    for name in SCRIPTS:
        print(f"== {name}", flush=True)
        if subprocess.run([sys.executable, HERE / name], check=False, cwd=HERE).returncode:
            broken.append(name)
    print("every figure is within its limit" if not broken else f"beyond a limit: {broken}")
    return int(bool(broken))


if __name__ == "__main__":
    sys.exit(main())
