"""An invented farm with a known hidden truth, made by simulation; no real person, farm or brand."""

from __future__ import annotations

from pinset.demo.build import MOST_SEED, DemoResult, build
from pinset.demo.place import TIME_ZONE

__all__ = ["MOST_SEED", "TIME_ZONE", "DemoResult", "build"]
