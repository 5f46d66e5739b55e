"""A cook on the pages' farm, and an invented log of one."""

from __future__ import annotations

import secrets
from datetime import date, timedelta

from numpy import float64
from numpy.typing import NDArray

from files.logger_files import cook as invented
from pinset.chain.stages import Stage
from pinset.farm import codes, door, trade
from pinset.farm.entries import NewLot
from pinset.farm.trade import Tap
from pinset.services.clock import now_utc
from pinset.services.cooks.judge import incoming as cook_incoming
from pinset.services.cooks.judge.judging import judge_file, read_rule
from pinset.services.cooks.judge.keeping import keep_verdict
from pinset.services.cooks.loads import LoadPlan
from pinset.services.cooks.watch import watching as cook_watching
from pinset.services.cooks.watch.records import What

COOK = "kettle-20260310-0900"
LOG = invented(361)


def cooked(day: date, cook: str = COOK) -> str:
    """Write a cook of twelve jars down, an hour ago; return the code of its prepared lot."""
    [code] = codes.issue_codes(1)
    made = NewLot(code=code, stage=Stage.PREPARED, variety="", step="grain", route="", made_on=day)
    tap = Tap(secrets.token_hex(16), now_utc() - timedelta(hours=1), "ada")
    entry = trade.cook(
        tap, cook, [(made, 12)], "", steriliser="kettle", cook_kind="grain", hold_minutes=92
    )
    door.record([entry], now=now_utc())
    return code


def log_bytes(core_c: NDArray[float64] | None = None) -> bytes:
    """Return what a logger wrote: minutes, chamber and core."""
    inside = LOG.core_c if core_c is None else core_c
    rows = zip(LOG.seconds / 60.0, LOG.chamber_c, inside, strict=True)
    lines = ["min,chamber [°C],core [°C]", *(f"{m:.0f},{a:.2f},{b:.2f}" for m, a, b in rows)]
    return "\n".join(lines).encode()


def judged_and_waiting(day: date) -> dict[str, str]:
    """Write a cook down, judge it by a log, and let the log wait once more; return their codes."""
    cooked(day)
    data = log_bytes()
    judged, _ = judge_file(data, "kettle.csv", read_rule("f0=15"))
    keep_verdict(secrets.token_hex(16), "ada", COOK, judged, data, "kettle.csv")
    return {"cook": COOK, "log": cook_incoming.keep(data, "kettle.csv")}


def watched() -> dict[str, str]:
    """Watch two cooks, read by hand: one that goes on, with air left in, and one that has ended."""
    load = LoadPlan(rating_bar=1.2)
    machine = cook_watching.machines()[0].code
    now = now_utc()
    codes = []
    for minutes in (240, 90):
        for earlier in codes:  # a steriliser is watched once at a time
            cook_watching.end(earlier, "ada")
        began = now - timedelta(minutes=minutes)
        code = cook_watching.begin(
            secrets.token_hex(16), "ada", machine, load, "f0=15", began_at=began
        )
        for minute in range(0, minutes + 1, 5):
            share = min(1.0, minute / 30.0)
            values = {What.CHAMBER: 20.0 + 97.0 * share, What.GAUGE: 1.17 * share}
            at = began + timedelta(minutes=minute)
            cook_watching.read(code, secrets.token_hex(16), "ada", values, at=at)
        codes.append(code)
    return {"ended_cook": codes[0], "watched_cook": codes[1]}
