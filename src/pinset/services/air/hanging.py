"""What hangs in a room by the ledger: wet substrate by variety and by what it does."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from pinset.chain.living import LivingLot
from pinset.chain.register import FarmBook, Route, StepKind
from pinset.errors import RefusedError
from pinset.farm.queries.alive import living
from pinset.science.air.breath import Breather, Hanging, Stage, breather_of

GRAMS = 1000.0
DOES = {Stage.SPAWN_RUN: "in spawn run", Stage.FRUITING: "ripening or fruiting"}


@dataclass(frozen=True, slots=True)
class Group:
    """All of one variety in a room that does the same."""

    variety: str
    name: str
    species: str
    stage: Stage
    units: int
    parts: tuple[Hanging, ...]  # by lot
    oldest_days: int

    @property
    def key(self) -> str:
        """Its field on a form."""
        return f"kg-{self.variety}-{self.stage}"

    @property
    def kilograms(self) -> float:
        """Wet substrate by the ledger."""
        return sum(part.substrate_kg for part in self.parts)

    @property
    def words(self) -> str:
        """``Grey oyster, ripening or fruiting``."""
        return f"{self.name}, {DOES[self.stage]}"

    @property
    def breather(self) -> Breather:
        """Whose breath is taken for it."""
        return breather_of(self.species)

    def weighing(self, kilograms: float) -> tuple[Hanging, ...]:
        """Return its parts, all together of a weight somebody typed."""
        if not self.parts or self.kilograms <= 0.0:
            return (Hanging(self.breather, self.stage, kilograms),)
        share = kilograms / self.kilograms
        return tuple(
            Hanging(part.breather, part.stage, part.substrate_kg * share, *_ages(part))
            for part in self.parts
        )


def _ages(part: Hanging) -> tuple[float | None, float | None]:
    return part.age_days, part.run_days


def filled_g(route: Route, step: str) -> int:
    """Return the wet weight in one vessel at a step: of the last step that filled one."""
    weight = 0
    for each in route.steps:
        weight = each.fill_g or weight
        if each.code == step:
            return weight
    return 0


def groups_of(lots: Iterable[LivingLot], book: FarmBook, today: date) -> tuple[Group, ...]:
    """Return what lots are together, by variety and by what they do.

    Ordered lots that have not come are left out. A lot older than its spawn run is taken at the
    end of it.
    """
    names = {variety.code: variety for variety in book.varieties}
    found: dict[tuple[str, Stage], list[LivingLot]] = defaultdict(list)
    for lot in lots:
        if lot.alive > 0 and not lot.order:
            runs = lot.now_step().kind in {StepKind.TRANSFER, StepKind.BUY}
            found[lot.variety, Stage.SPAWN_RUN if runs else Stage.FRUITING].append(lot)
    groups = []
    for (code, stage), some in sorted(found.items()):
        variety = names.get(code)
        species = variety.species if variety else ""
        parts = tuple(_part(lot, breather_of(species), stage, today) for lot in some)
        groups.append(
            Group(
                code,
                variety.name if variety else code,
                species,
                stage,
                sum(lot.alive for lot in some),
                parts,
                max((today - lot.step_since).days for lot in some),
            )
        )
    return tuple(groups)


def _part(lot: LivingLot, breather: Breather, stage: Stage, today: date) -> Hanging:
    weight = lot.alive * filled_g(lot.route, lot.step) / GRAMS
    days = lot.now_step().days.mean
    if stage is Stage.FRUITING or not days > 0.0:
        return Hanging(breather, stage, weight)
    age = min(max(0.0, float((today - lot.step_since).days)), days)
    return Hanging(breather, stage, weight, age, days)


def hanging_in(room: str, book: FarmBook, today: date) -> tuple[Group, ...]:
    """Return what hangs in a room today.

    Raises
    ------
    RefusedError
        If the farm has no such room.
    """
    if room not in {each.code for each in book.rooms}:
        raise RefusedError(f"There is no room {room}.", "Books, Rooms lists those there are.")
    return groups_of((lot for lot in living(today) if lot.room == room), book, today)
