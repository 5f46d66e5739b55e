"""What the form of a chore asks for, and the chore read from it."""

from __future__ import annotations

from django.http import HttpRequest
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from pinset.chain.register import FarmBook
from pinset.chain.upkeep import Chore, ChoreAt, ChoreKind, Reads
from pinset.errors import InputError
from pinset.services.cautions import hazards
from pinset.services.upkeep.register import new_chore_code, things
from pinset.services.upkeep.words import KINDS
from pinset.web import fields
from pinset.web.forms import Field

READS = {
    Reads.HOURS: gettext_lazy("hours on a counter (h)"),
    Reads.PRESSURE_DROP: gettext_lazy("pressure drop (Pa)"),
    Reads.OFF_DEGREES: gettext_lazy("degrees off (°C)"),
    Reads.OFF_PRESSURE: gettext_lazy("pressure off (kPa)"),
    Reads.OFF_GRAMS: gettext_lazy("grams off (g)"),
}
MOST_DAYS, MOST_USES, MOST_MINUTES, MOST_READING = 3650, 10_000, 1440, 200_000.0


def chore_fields(book: FarmBook, old: Chore | None) -> tuple[Field, ...]:
    """Return the fields of a chore, filled from the old one if there is one."""
    chore = old or Chore("", "", ChoreKind.OTHER, ChoreAt.FARM)
    place = f"{chore.at.value}:{chore.which}"
    return (
        Field("name", _("What is done"), value=chore.name, required=True),
        Field(
            "kind",
            _("Kind of chore"),
            kind="choice",
            choices=tuple((kind.value, word) for kind, word in KINDS.items()),
            value=chore.kind.value,
            required=True,
            help=_("Its instruction stands under this kind."),
        ),
        Field(
            "thing",
            _("What it is done at"),
            kind="choice",
            choices=things(book),
            value=place,
            required=True,
        ),
        Field(
            "every_days",
            _("Every so many days"),
            kind="whole",
            value=_shown(chore.every_days),
            help=_("Left empty for a probe or gauge: how long it holds stands with it."),
        ),
        Field(
            "every_uses",
            _("Or after so many uses"),
            kind="whole",
            value=_shown(chore.every_uses),
            help=_("Cooks of a steriliser, sessions at a bench."),
        ),
        Field(
            "reads",
            _("What is read off"),
            kind="choice",
            choices=tuple((each.value, str(word)) for each, word in READS.items()),
            value=chore.reads.value,
            help=_("Left empty: nothing."),
        ),
        Field(
            "limit",
            _("Limit"),
            kind="number",
            value=_shown(chore.limit),
            help=_("At this reading it is changed or mended."),
        ),
        Field(
            "limit_times",
            _("Or times a new one"),
            kind="number",
            value=_shown(chore.limit_times),
            help=_("Of a filter: 2 is twice its first pressure drop."),
        ),
        Field(
            "first_reading",
            _("What a new one read"),
            kind="number",
            value=_shown(chore.first_reading),
        ),
        Field(
            "since",
            _("Last done before this register"),
            kind="date",
            value=chore.since.isoformat() if chore.since else "",
            help=_("Left empty and never done, it is due at once."),
        ),
        Field(
            "by",
            _("Who usually does it"),
            kind="choice",
            choices=tuple((worker.code, worker.name) for worker in book.workers),
            value=chore.by,
            help=_("Left empty: anybody."),
        ),
        Field("minutes", _("Minutes"), kind="whole", value=str(chore.minutes)),
        Field(
            "cautions",
            _("Cautions shown with it"),
            kind="ticks",
            choices=hazards(),
            values=chore.cautions,
        ),
        Field("note", _("Note"), kind="long", value=chore.note, rows=2),
    )


def _shown(value: float | None) -> str:
    return "" if value is None else f"{value:.9g}"


def read_chore(request: HttpRequest, book: FarmBook, old: Chore | None) -> Chore:
    """Return the chore a form describes.

    Raises
    ------
    InputError
        If a field is missing or not accepted.
    """
    name = fields.text(request, "name", longest=200)
    if not name:
        raise InputError("name", "", _("what is done, in a few words"))
    kind = fields.one(request, "kind", [each.value for each in ChoreKind])
    place = fields.one(request, "thing", [value for value, _word in things(book)])
    at, _colon, which = place.partition(":")
    reads = fields.one(request, "reads", [each.value for each in Reads])
    since = fields.day(request, "since")
    is_as_before = old is not None and (old.since, old.reads.value) == (since, reads)
    before = old if is_as_before else None
    return Chore(
        code=old.code if old else new_chore_code(book, name),
        name=name,
        kind=ChoreKind(kind),
        at=ChoreAt(at),
        which=which,
        every_days=fields.whole(request, "every_days", least=1, most=MOST_DAYS),
        every_uses=fields.whole(request, "every_uses", least=1, most=MOST_USES),
        reads=Reads(reads),
        limit=fields.number(request, "limit", most=MOST_READING),
        limit_times=fields.number(request, "limit_times", most=10.0),
        first_reading=fields.number(request, "first_reading", most=MOST_READING),
        since=since,
        last_reading=before.last_reading if before else None,
        amiss=before.amiss if before else "",
        by=fields.one(request, "by", ["", *(worker.code for worker in book.workers)]),
        minutes=fields.whole(request, "minutes", most=MOST_MINUTES) or 0,
        cautions=fields.ticked(request, "cautions", [key for key, _word in hazards()]),
        note=fields.text(request, "note"),
    )
