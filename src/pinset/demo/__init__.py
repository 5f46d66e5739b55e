"""An invented farm with a known hidden truth, made by simulation; no real person, farm or brand."""

from __future__ import annotations

from pinset.demo.build import MOST_SEED, DemoResult, build

__all__ = ["MOST_SEED", "DemoResult", "build"]
