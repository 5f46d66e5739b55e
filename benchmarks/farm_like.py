"""Hides numba, with which psychrolib would compile itself; no farm has it. Import this first."""

from __future__ import annotations

import sys

sys.modules["numba"] = None  # type: ignore[assignment]
