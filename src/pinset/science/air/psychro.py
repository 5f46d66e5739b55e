"""The library psychrolib in SI units and in plain Python, the same on every machine.

Where numba is installed, as on developers' machines, the library compiles itself: seconds at the
first call of each function, and numpy scalars instead of floats. Farms have no numba. So it is
hidden while the library is brought in; what brought numba in before keeps it.
"""

from __future__ import annotations

import sys
from importlib import import_module
from types import ModuleType


def _plain() -> ModuleType:
    before = sys.modules.get("numba")
    sys.modules["numba"] = None  # type: ignore[assignment]  # an import of it then fails
    try:
        return import_module("psychrolib")
    finally:
        if before is None:
            del sys.modules["numba"]
        else:
            sys.modules["numba"] = before


psychrolib = _plain()
psychrolib.SetUnitSystem(psychrolib.SI)  # one setting for the whole program, never switched
