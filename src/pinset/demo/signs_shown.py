"""What bad units of the demo farm show: the usual signs, or those that tell of a hidden truth.

Which sign a truth leaves follows the table of signs: spores that lived through a cook show wet and
deep inside, what fell in at the bench shows at the top, what the spawn carried on its grains. Which
bad unit is owed to which truth is drawn by the odds it adds; invented, for a demo.
"""

from __future__ import annotations

import hashlib
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from pinset.chain.stages import Stage
from pinset.demo.lots import Lot
from pinset.demo.world import World
from pinset.services.answers.history import NewEntry, Taken, Tap, trade
from pinset.services.looking.media import Showing, showing
from pinset.services.looking.words import names_of

Shown = tuple[str, str]
"""A sign and where it is seen, by their keys; the place may be empty."""

USUAL: Mapping[Stage, Sequence[Shown]] = {
    Stage.TUBE: (("slime-ring", "piece"), ("green-dust", "rim")),
    Stage.PLATE: (("green-dust", "rim"), ("slime-ring", "piece")),
    Stage.GRAIN: (("wet-sour", "bottom"), ("green-dust", "filter"), ("black-heads", "filter")),
    Stage.SAWDUST: (("green-dust", "filter"), ("wet-sour", "bottom")),
    Stage.BLOCK: (
        ("green-dust", "filter"),
        ("green-dust", "seam"),
        ("wet-sour", "bottom"),
        ("black-heads", "filter"),
    ),
}
IN_A_ROOM: Sequence[Shown] = (
    ("green-dust", "block"),
    ("green-dust", "stumps"),
    ("green-dust", "block"),
    ("green-dust", "corner"),
)
ELSE: Sequence[Shown] = (("green-dust", "all-through"),)

BLAMED: Mapping[str, Sequence[Shown]] = {
    "seal": (("wet-sour", "all-through"), ("green-dust", "core")),
    "careless": (("green-dust", "top"), ("blue-dust", "top"), ("creamy-dots", "piece")),
    "hot": (("black-heads", "all-through"), ("blue-dust", "all-through")),
    "parent": (("green-dust", "grains"), ("wet-sour", "grains"), ("slime-ring", "piece")),
}
"""What each truth leaves; where the vessel shows none of it, the usual signs."""

STALLED: Shown = ("stalled", "")
"""What a tired culture leaves beside slowness."""


@dataclass(frozen=True, slots=True)
class Seen:
    """What is seen on units that are taken out."""

    sign: str
    where: str

    @property
    def cause(self) -> str:
        """Return it in the words in which a look writes it beside a loss."""
        return names_of([self.sign], self.where)


def seen_on(world: World, lot: Lot) -> Seen:
    """Return what contaminated units of a lot show today."""
    there = _showing(world, lot)
    usual = IN_A_ROOM if there.is_in_room else USUAL.get(lot.step.stage, ELSE)
    sign, where = usual[world.nature.whole(0, len(usual) - 1)]
    kind = _blamed(world, lot)
    told = [each for each in BLAMED.get(kind, ()) if each[0] in there.signs]
    if told:
        sign, where = told[world.nature.sign_number(len(told))]
    return Seen(sign, where if where in there.places else "")


def stalled(world: World, lot: Lot) -> Seen | None:
    """Return that units stopped growing where the culture is to blame for it; else nothing."""
    if lot.vigour.odds <= 1.0 or world.nature.sign_share() > 1.0 - 1.0 / lot.vigour.odds:
        return None
    return Seen(*STALLED) if STALLED[0] in _showing(world, lot).signs else None


def _showing(world: World, lot: Lot) -> Showing:
    return showing(lot.step.stage.value, lot.step.code, world.book)


def _blamed(world: World, lot: Lot) -> str:
    """Return which truth bad units of a lot are owed to; empty: to none."""
    if not lot.blame:
        return ""
    share = world.nature.sign_share()
    passed = lot.blame.get("parent", 0.0)
    if share < passed:
        return "parent"
    logs = {kind: math.log(odds) for kind, odds in lot.blame.items() if kind != "parent"}
    whole = sum(logs.values())
    if whole <= 0.0:
        return ""
    owed = (1.0 - passed) * (1.0 - math.exp(-whole))
    left = share - passed
    for kind, log in logs.items():
        part = owed * log / whole
        if left < part:
            return kind
        left -= part
    return ""


def look_before(world: World, lot: Lot, taken: Taken, seen: Seen, out: NewEntry) -> NewEntry:
    """Return the look at which units were found that are taken out by another entry."""
    own = hashlib.sha256(f"look before {out.client_id}".encode()).hexdigest()[:32]
    tap = Tap(own, out.happened_at, out.person)
    room = "growing" if lot.step.kind.value == "fruit" else "incubation"
    details: dict[str, object] = {
        "signs": [seen.sign],
        "where": seen.where,
        "seen": taken.quantity,
        "of": lot.alive,
        "age": (world.today - lot.made_on).days,
        "room_kind": room,
    }
    return trade.look(tap, [Taken(lot.code, lot.alive, lot.place)], details=details)
