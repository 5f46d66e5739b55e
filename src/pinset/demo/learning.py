"""What the demo's farm learnt of a load: the log of one sound cook, kept as anybody keeps it."""

from __future__ import annotations

from datetime import time, timedelta
from typing import Any

from pinset.chain.plain import to_plain
from pinset.demo.world import Cooked, World
from pinset.services.answers.history import digest, trade
from pinset.services.cooks.learn.fitting import fit_file
from pinset.services.cooks.learn.learnt import typed_of
from pinset.services.cooks.typed import load_of
from pinset.services.cooks.usual import described_loads

KIND = "block"
LEARNT_AT = time(8, 10)
SINCE = timedelta(days=28)  # before the demo's today
DIGITS = 6  # that are kept of a number, so that every machine writes the same


def learn(world: World, cooked: Cooked, file: bytes, name: str) -> None:
    """Learn a load from the log of a cook that passed, once, in the last weeks."""
    if world.has_learnt or cooked.kind != KIND or world.today < world.truth.today - SINCE:
        return
    usual = next((each for each in described_loads(world.book) if each.cook_kind == KIND), None)
    if usual is None:
        return
    load = load_of({**usual.typed, "heat": "open"})
    learnt = fit_file(file, name, load)
    fit = learnt.slowest
    if not fit.follows:
        return
    world.has_learnt = True
    client_id = digest("learnt", cooked.code)
    tap = world.diary.quiet_tap(LEARNT_AT, world.lab_person(world.today), client_id)
    details = {
        "log": learnt.digest,
        "log_name": name,
        "fit": _short(to_plain(fit, every_field=True)),
        "sentence": fit.sentence,
    }
    world.diary.add(trade.learnt(tap, cook=cooked.code, load=typed_of(load), details=details))


def _short(plain: Any) -> Any:
    """Return plain values with numbers of six digits."""
    if isinstance(plain, float):
        return float(f"{plain:.{DIGITS}g}")
    if isinstance(plain, dict):
        return {key: _short(value) for key, value in plain.items()}
    return [_short(each) for each in plain] if isinstance(plain, list) else plain
