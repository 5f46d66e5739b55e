"""What can be handed to the door: entries with their postings, links and mentions.

An entry is something that happened. Its postings move whole units, grams or millilitres of a lot
between accounts and balance to zero per lot and measure. Links say which parents a new lot came
from; mentions name lots an entry speaks of without moving anything (cooked, looked over, shaken).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum
from typing import Any

from pinset.chain.stages import Stage


class Kind(StrEnum):
    """What happened. The words are the trade's."""

    OPENING = "opening"  # a lot that was alive when the farm was loaded
    PREPARE = "prepare"  # soak, boil, mix, fill, pour, cool: work that makes no living lot
    COOK = "cook"  # a load was heat-treated; may make lots of prepared vessels
    VERDICT = "verdict"  # a cook was judged: what came of it, and how that is known
    LEARNT = "learnt"  # how a load heats, from the log of a cook
    INOCULATE = "inoculate"  # parents were opened, a new lot was made
    RECEIVE = "receive"  # bought spawn or ingredients arrived
    CLONE = "clone"  # a fruit goes back to a plate
    SHAKE = "shake"
    LOOK = "look"
    LOSE = "lose"  # contaminated units taken out
    CULL = "cull"  # units taken out for another cause
    SPEND = "spend"  # fruiting units at the end of their last flush
    MOVE = "move"  # to another place, or into the next step of the route
    PICK = "pick"
    PACK = "pack"
    DELIVER = "deliver"
    SELL = "sell"  # spawn or blocks sold as units
    WASTE = "waste"  # picked mushrooms thrown away
    DRY = "dry"
    ROUND = "round"  # a walk through rooms
    SESSION = "session"  # at a bench: begun, joined by somebody, plates set out, ended
    ORDER = "order"  # spawn or goods ordered
    JUDGE = "judge"  # a person's own judgement of readiness, clearing, holding
    PUT_OFF = "put off"  # a job: not today
    DROP = "drop"  # a job: not at all
    CORRECT = "correct"  # sets an earlier entry right
    CLEAN = "clean"  # a chore was done: cleaned, read off, checked, changed
    READ = "read"  # a written instruction was read and understood
    NOTE = "note"


class Account(StrEnum):
    """Where units and grams stand. Sources are negative."""

    MADE = "made"  # source of units
    GROWN = "grown"  # source of picked grams
    RECEIVED = "received"  # source of bought units and ingredients
    ALIVE = "alive"
    USED = "used"
    LOST = "lost"  # contaminated
    CULLED = "culled"  # another cause
    SPENT = "spent"
    SOLD = "sold"
    STORE = "store"  # picked grams in the cold store
    DELIVERED = "delivered"
    DRIED = "dried"
    WASTE = "waste"
    UNEXPLAINED = "unexplained"  # more was taken than stood there; a finding asks a person


SOURCES = frozenset({Account.MADE, Account.GROWN, Account.RECEIVED})


class Measure(StrEnum):
    """What is counted; quantities are whole numbers of it."""

    UNIT = "unit"
    GRAM = "gram"
    MILLILITRE = "millilitre"


@dataclass(frozen=True, slots=True)
class NewLot:
    """The facts of a lot that an entry makes. They do not change afterwards."""

    code: str  # issued before, with a valid check sign
    stage: Stage
    variety: str  # empty only for prepared vessels
    step: str  # of the route; for prepared vessels the step they are prepared for
    route: str  # code; the door ties it to the version in force at made_on
    made_on: date
    culture: str = ""
    cook: str = ""  # code of the cook its vessels went through
    session: str = ""  # bench session
    generation: int | None = None  # only for lots without parents in the ledger
    transfers: int | None = None  # likewise
    bought_from: str = ""
    made_in_demo: bool = False


@dataclass(frozen=True, slots=True)
class NewPosting:
    """A quantity of one lot entering (positive) or leaving (negative) an account at a place."""

    lot: str
    account: Account
    measure: Measure
    quantity: int
    place: str = ""  # shelf code; for accounts that have no place, empty


@dataclass(frozen=True, slots=True)
class NewLink:
    """A parent lot of a new lot, with how much of it went in."""

    parent: str
    child: str
    units: int  # parent units opened or used up
    amount: int = 0  # of a part use, in `measure`
    measure: Measure = Measure.UNIT


@dataclass(frozen=True, slots=True)
class NewMention:
    """A lot an entry speaks of: cooked, looked over, shaken, opened, moved into a step."""

    lot: str
    role: str  # "cooked", "looked", "shaken", "opened", "step", "held", "released", "cleared" ...
    count: int = 0
    value: str = ""  # e.g. the step moved into
    place: str = ""  # where the units stand that are meant; empty: all of the lot


@dataclass(frozen=True, slots=True)
class NewEntry:
    """Something that happened, ready to be written down."""

    client_id: str  # random, made where the tap was; 32 hexadecimal signs
    kind: Kind
    happened_at: datetime  # aware
    person: str = ""  # worker code; empty: the program itself
    lots: tuple[NewLot, ...] = ()
    postings: tuple[NewPosting, ...] = ()
    links: tuple[NewLink, ...] = ()
    mentions: tuple[NewMention, ...] = ()
    job: str = ""  # code of the job it answers; the entry stands without it
    details: dict[str, Any] = field(default_factory=dict)  # plain values only
    note: str = ""  # free text; stored apart, hashed by digest
    corrects: str = ""  # client id of the entry it sets right
