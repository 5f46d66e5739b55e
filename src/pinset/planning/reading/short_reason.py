"""Why something promised is short: the kind of reason, beside the sentence that names it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class ShortReason(StrEnum):
    """What leaves a promise short; days and amounts make no other reason of it."""

    NO_START = "no-start"  # nothing alive gives more, and no more can be started
    TOO_SOON = "too-soon"  # no new batch can be there by then
    SHARED = "shared"  # as TOO_SOON; what is alive would do for it, but serves another promise
    FEW_PARENTS = "few-parents"  # a new batch is there in time; what is alive starts too few
    TOO_LITTLE = "too-little"  # a new batch is there in time; it cannot be enough
    SET_DAYS = "set-days"  # the days set for starting and moving, and days off
    PINNED = "pinned"  # it would be there, but a pin has it otherwise
    CLOSED = "closed"  # it ripens while nobody works, and is spoilt before somebody comes
    CLIMATE = "climate"  # its grow room is kept in another climate
    FULL = "full"  # people, places, vessels or sterilisers are full
    AWAY = "away"  # with somebody there who is away, it would not be short
    WHOLE_UNITS = "whole-units"  # whole units and the sizes of batches do not come out for it
    UNTOLD = "untold"  # the time was over before the reason was known
    NOT_NEEDED = "not-needed"  # of blocks that lapse: nothing promised needs them
    NO_ROUTE = "no-route"  # the variety has no route
    NO_STEP = "no-step"  # its route does not make what is promised


@dataclass(frozen=True, slots=True)
class Reason:
    """One reason: its kind, the sentence, and what it is about."""

    code: ShortReason
    words: str
    about: tuple[str, ...] = ()  # the step that is short, or the resources that are full
