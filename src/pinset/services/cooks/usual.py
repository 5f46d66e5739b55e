"""The farm's own loads, as a cook can be worked out for them without typing everything."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from pinset.chain.lime import is_lime
from pinset.chain.register import CookKind, FarmBook, Step, Steriliser
from pinset.chain.stages import Stage, noun_of
from pinset.errors import InputError
from pinset.farm import job_store
from pinset.science.heating.loads import Filling, usual_size
from pinset.services.cooks.learn.learnt import LearntLoad, learnt_loads, learnt_of
from pinset.services.cooks.loads import BOTTLE_KG, USUAL_MOISTURE
from pinset.services.cooks.typed import load_of
from pinset.services.jobs.state import stored_jobs
from pinset.services.plans import planning_day
from pinset.units import show_grams

_FILLINGS = {
    Stage.TUBE: Filling.AGAR,
    Stage.PLATE: Filling.AGAR,
    Stage.LIQUID: Filling.AGAR,
    Stage.GRAIN: Filling.GRAIN,
    Stage.BED: Filling.STRAW,
}
AGAR_MOISTURE = 0.97
ROOM_OF_BOTTLE = 2.0  # agar is cooked in bottles and poured; room in L for a kg


@dataclass(frozen=True, slots=True)
class UsualLoad:
    """A load the farm cooks.

    ``typed`` can be handed to :func:`~pinset.services.cooks.typed.load_of`.
    """

    code: str  # steriliser:kind:route:step
    words: str
    steriliser: str
    cook_kind: str
    rule: str  # the farm's own, empty: none
    typed: dict[str, str]


def usual_loads(book: FarmBook | None = None) -> tuple[UsualLoad, ...]:
    """Return the loads of every steriliser, each sort of vessel once."""
    if book is None:
        book, _ = planning_day.farm_book()
    found: dict[tuple[str, ...], UsualLoad] = {}
    learnt = learnt_loads()
    for described in described_loads(book):
        try:
            load = _measured(described, learnt)
        except InputError:
            continue
        found.setdefault((load.steriliser, load.cook_kind, *load.typed.values()), load)
    return tuple(found.values())


def described_loads(book: FarmBook) -> Iterator[UsualLoad]:
    """Give every load as the farm describes it, whatever a log taught of it."""
    for steriliser in book.sterilisers:
        for kind in steriliser.cooks:
            if is_lime(kind.rule):
                continue  # no heat
            for route, step in _cooked(book, kind):
                try:
                    load = _load(book, steriliser, kind, route, step)
                except InputError:
                    continue  # a weight or moisture no size can be guessed for; it is typed instead
                yield load


def load_of_job(loads: Sequence[UsualLoad], code: str) -> UsualLoad | None:
    """Return which of the farm's loads the job of a cook is about, None if it can't be told."""
    row = job_store.job_by_code(code) if code else None
    if row is None:
        return None
    [stored] = stored_jobs((row,))
    job = stored.job
    alike = [
        each
        for each in loads
        if (each.steriliser, each.cook_kind) == (job.steriliser, job.cook_kind)
    ]
    steps = {feed.step for feed in job.feeds}
    return next((each for each in alike if each.code.split(":")[3] in steps), None) or next(
        iter(alike), None
    )


def _measured(usual: UsualLoad, learnt: tuple[LearntLoad, ...]) -> UsualLoad:
    """Return a load with the size somebody measured when its log was learnt from."""
    known = learnt_of(load_of({**usual.typed, "heat": "open"}), learnt)
    if known is None:
        return usual
    words = f"{usual.words}, {known.typed['size']}, learnt from a log"
    return replace(usual, typed={**usual.typed, "size": known.typed["size"]}, words=words)


def _cooked(book: FarmBook, kind: CookKind) -> Iterator[tuple[str, Step]]:
    for route in book.routes:
        for step in route.steps:
            if step.cook == kind.code and step.fill_g > 0:
                yield route.code, step


def _filling(step: Step) -> Filling:
    if "straw" in step.mix.lower():
        return Filling.STRAW
    return _FILLINGS.get(step.stage, Filling.SAWDUST)


def _load(
    book: FarmBook, steriliser: Steriliser, kind: CookKind, route: str, step: Step
) -> UsualLoad:
    filling = _filling(step)
    moisture = step.fill_moisture or USUAL_MOISTURE[filling]
    if filling is Filling.AGAR:
        moisture = max(moisture, AGAR_MOISTURE)
    is_poured = filling is Filling.AGAR and step.stage is not Stage.LIQUID
    mass_kg = BOTTLE_KG if is_poured else step.fill_g / 1000.0
    size = usual_size(filling, mass_kg, moisture)
    litres = next((each.litres for each in book.vessels if each.code == step.vessel), 0.0)
    if is_poured:
        litres = BOTTLE_KG * ROOM_OF_BOTTLE
    units = max(1, int(kind.litres / litres)) if litres else 1
    typed = {
        "heat": "pressure" if steriliser.rating_bar_gauge > 0 else "open",
        "rating": f"{steriliser.rating_bar_gauge:g} bar" if steriliser.rating_bar_gauge else "",
        "filling": filling.value,
        "units": str(units),
        "mass": f"{mass_kg:g} kg",
        "moisture": f"{moisture:.0%}",
        "size": f"{200.0 * size.radius:.1f} x {100.0 * size.height:.1f} cm",
        "altitude": f"{book.farm.altitude_m:g} m",
    }
    what = "bottles of agar" if is_poured else noun_of(step.stage, units)
    each = show_grams(round(1000.0 * mass_kg), book.farm.units)
    return UsualLoad(
        code=f"{steriliser.code}:{kind.code}:{route}:{step.code}",
        words=f"{steriliser.name}: {units} {what}, {each} each, {moisture:.0%} wet",
        steriliser=steriliser.code,
        cook_kind=kind.code,
        rule=kind.rule,
        typed=typed,
    )
