"""Who signs in on the demo farm, and how a build says how far it has come."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

Progress = Callable[[float, str], None]
"""Told a share of the work done, 0 to 1, and a line of text."""

WORDS = (
    "beech", "oat", "kettle", "siding", "shed", "ridge", "lantern", "buffer",
    "platform", "signal", "gravel", "larch", "thaw", "crate", "barrow", "weir",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class DemoPerson:
    """Somebody of the demo farm, with the password to sign in with."""

    code: str
    name: str
    role: str
    password: str


def password_for(code: str, seed: int) -> str:
    """Return a person's demo password: words anybody can type, made from the seed."""
    rng = np.random.default_rng([seed, *code.encode()])
    first, second = rng.choice(len(WORDS), size=2, replace=False)
    return f"{WORDS[first]}-{WORDS[second]}-{rng.integers(100, 1000)}"
