"""Was this tap on a job written down before, and did it say the same then."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pinset.errors import InputError
from pinset.farm import whereabouts
from pinset.farm.queries import story
from pinset.services.answers.same_answer import refuse_another
from pinset.services.building import Answer


def as_said(answer: Answer, *, finish: bool) -> dict[str, Any]:
    """Return what tells an answer from another one; what is not said is left out."""
    said: dict[str, Any] = {"how": "done" if finish else "part"}
    for name in ("count", "grams", "flush"):
        if getattr(answer, name) is not None:
            said[name] = getattr(answer, name)
    if answer.lots:
        lots: dict[str, int] = {}
        for code, number in answer.lots:
            lots[code] = lots.get(code, 0) + number
        said["lots"] = lots
    if answer.shelves:
        said["shelves"] = [list(each) for each in answer.shelves]
    if answer.mixes:
        mixes: dict[str, int] = {}
        for name, number in answer.mixes:
            mixes[name] = mixes.get(name, 0) + number
        said["mixes"] = mixes
    if answer.verdict:
        said["verdict"] = answer.verdict
    return said | _at_the_bench(answer)


def _at_the_bench(answer: Answer) -> dict[str, Any]:
    """Return what is said of a transfer in a session; what is not said is left out."""
    said = {
        "opened": list(answer.opened),
        "amounts": dict(answer.amounts),
        "vessels": list(answer.vessels),
    }
    return {name: value for name, value in said.items() if value}


def is_known(
    client_id: str, job: str = "", said: Mapping[str, Any] | None = None, *, corrects: str = ""
) -> bool:
    """Say whether this tap was written down; asked while no other writer can be at work.

    Raises
    ------
    InputError
        If the id belongs to another entry: a tap must never vanish behind somebody else's.
    RefusedError
        If the entry answers the same job with something else than what is ``said`` now.
    """
    whereabouts.wait_for_the_pen()
    known = story.entry(client_id)
    if known is None:
        return False
    same = known.corrects == corrects if corrects else known.job == job.upper()
    if not same:
        raise InputError("client id", client_id, "a fresh random id for every tap")
    if said is not None:
        refuse_another(known.details, said)
    return True
