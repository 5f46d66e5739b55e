"""Where the invented farm stands in time, known before it is built."""

from __future__ import annotations

TIME_ZONE = "Europe/Vienna"
