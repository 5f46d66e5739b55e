"""Notes for Today on what will lapse unused, soonest first; spawn of one kind is told together."""

from __future__ import annotations

from collections.abc import Iterable

from pinset.chain.stages import SPAWN_STAGES
from pinset.planning.plan import Lapse
from pinset.services.book_reader import Reader
from pinset.services.words import joined, short_day


def lapse_notes(lapses: Iterable[Lapse], reader: Reader) -> tuple[str, ...]:
    """Return a sentence for each lapse; later ones of the same spawn are counted in the first."""
    together: dict[tuple[object, ...], list[Lapse]] = {}
    for number, lapse in enumerate(lapses):
        key = (lapse.variety, lapse.step, lapse.cause)
        together.setdefault(key if _is_spawn(lapse, reader) else (number,), []).append(lapse)
    return tuple(first.words + _later(later) for first, *later in together.values())


def _is_spawn(lapse: Lapse, reader: Reader) -> bool:
    variety = reader.varieties.get(lapse.variety)
    route = reader.routes.get(variety.route) if variety else None
    steps = route.steps if route else ()
    return any(step.code == lapse.step and step.stage in SPAWN_STAGES for step in steps)


def _later(lapses: Iterable[Lapse]) -> str:
    told = [
        f"{lapse.units:.0f} ({', '.join(lapse.lots)}) by {short_day(lapse.last_day)}"
        for lapse in lapses
    ]
    return f" So it is with {joined(told)}." if told else ""
