"""A lot as it lives now: what the ledger knows of it, in the form the planner reads."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from pinset.chain.register import Route, Step
from pinset.chain.stages import Stage


@dataclass(frozen=True, slots=True)
class Stood:
    """A room in which units stood before they came to where they stand now."""

    until: date  # the day they were carried on
    temperature_c: float  # of that room


@dataclass(frozen=True, slots=True)
class LivingLot:
    """Units of one lot standing at one place, with everything readiness depends on."""

    code: str
    variety: str
    step: str  # code of the step of its route it is in now
    stage: Stage
    alive: int
    made_on: date
    step_since: (
        date  # when the present step began: made_on, or the move into ripening or a grow room
    )
    place: str  # shelf code; empty if unknown
    room: str
    temperature_c: float  # of that room
    route: Route  # in the version the lot was made under
    culture: str = ""
    made: int = 0
    lost: int = 0
    generation: int = 0  # grain generation; 0 before grain, master grain 1
    transfers: int = 0  # plate transfers since the mother
    opened_on: date | None = None  # of these units; sealed ones of the lot stand apart
    held: str = ""  # why it is not offered (held back, culture not cleared); empty: offered
    contaminated: str = ""  # signs these units showed at a look; they stand apart and are held
    picked_g: int = 0
    last_picked_on: date | None = None
    flush: int = 0  # the last flush picked; 0 before the first
    flush_g: int = 0  # picked of that flush from these units; 0 until a pick is written down here
    part_picked_on: date | None = None  # that pick was said to be a part: the rest hangs still
    given_up_on: date | None = None  # what was ripe by then is not to be picked: a person said so
    expected_ready_on: date | None = None  # a person's own judgement; it overrules the route
    order: str = ""  # ordered and not yet arrived: the id of the order
    stood: tuple[Stood, ...] = ()  # where it stood before in its present step, first things first
    use_by: date | None = None  # a person's decision to use it first, and by when
    look_on: date | None = None  # a person's decision to watch it: looked at again on this day
    keeps_until: date | None = None  # told when it was written down, of the first of these rooms

    def now_step(self) -> Step:
        """Return the step of the route this lot is in."""
        return self.route.step(self.step)
