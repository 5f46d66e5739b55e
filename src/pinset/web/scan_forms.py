"""What the forms of lots in hand send: which deed, of which lots, how many of each."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.http import HttpRequest
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from pinset.errors import InputError, PinsetError
from pinset.services.floor.reading import MOST_PHOTO_BYTES
from pinset.services.floor.records import Amount, Deed, Held
from pinset.services.floor.taps import Saying
from pinset.services.loads.despite import CookDoubtedError
from pinset.web import fields
from pinset.web.despite import NAME, REASON, despite_of

CHOICES = {
    Deed.HOLD: (
        gettext_lazy("looks odd"),
        gettext_lazy("smells sour"),
        gettext_lazy("more lost than expected"),
        gettext_lazy("somebody else is to look"),
    ),
}
"""What is chosen with the tap that writes it down."""

MOST_JOBS = 20
LONGEST_TYPED = 40
NEVER_SENT_AGAIN = "csrfmiddlewaretoken"


@dataclass(frozen=True, slots=True)
class Asked:
    """A tap that something speaks against: the form, to be sent again with a reason.

    Where it is how cooks stand, ``cooks`` are asked about, and a reason that was given for
    something else goes along as it was.
    """

    sent: tuple[tuple[str, str], ...]
    cooks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Typed:
    """What was typed into a form that was refused, to stand in it again."""

    deed: str
    jobs: tuple[str, ...]
    values: Mapping[str, str]

    def of(self, deed: str, jobs: Sequence[str]) -> Mapping[str, str]:
        """Return it for its own form; nothing for another one."""
        return self.values if (deed, tuple(jobs)) == (self.deed, self.jobs) else {}


NOT_TYPED = Typed("", (), {})


def typed(request: HttpRequest) -> Typed:
    """Return what a form was sent with."""
    return Typed(
        fields.text(request, "deed", longest=20),
        tuple(request.POST.getlist("job")[:MOST_JOBS]),
        {name: str(value)[:LONGEST_TYPED] for name, value in request.POST.items()},
    )


def asked_again(request: HttpRequest, problem: PinsetError) -> Asked:
    """Return the form as it was sent, without what is asked for now."""
    cooks = problem.keys if isinstance(problem, CookDoubtedError) else ()
    anew = {NAME, REASON} if cooks else {"reason"}
    return Asked(
        tuple(
            (name, str(value))
            for name, values in request.POST.lists()
            if name != NEVER_SENT_AGAIN and name not in anew
            for value in values
        ),
        cooks,
    )


def read_saying(request: HttpRequest, hand: Sequence[Held]) -> Saying:
    """Return what a form says of the lots in hand.

    Raises
    ------
    InputError
        If there is no such deed, a number is missing or cannot be.
    """
    given = fields.text(request, "deed", longest=20)
    if given not in set(Deed):
        raise InputError("what", given, _("something that may happen to a lot"))
    deed = Deed(given)
    return Saying(
        deed=deed,
        amounts=tuple(_amount(request, each) for each in hand),
        jobs=tuple(request.POST.getlist("job")[:MOST_JOBS]),
        makes=fields.whole(request, "makes", least=1),
        grams=fields.weight(request, "weight"),
        choice=fields.text(request, "choice", longest=200),
        reason=fields.text(request, "reason", longest=200),
        despite=despite_of(request),
    )


def our_names(request: HttpRequest) -> frozenset[str]:
    """Return the name under which this device knows the server."""
    return frozenset({request.get_host().lower()})


def photo_sent(request: HttpRequest) -> bytes:
    """Return the photo of labels that was handed in.

    Raises
    ------
    InputError
        If there is none, or it is too large.
    """
    file = request.FILES.get("photo")
    if file is None:
        raise InputError("photo", "", _("a photo of a label"))
    if (file.size or 0) > MOST_PHOTO_BYTES:
        most = _("a photo up to %(most)s MB") % {"most": MOST_PHOTO_BYTES // 1_000_000}
        raise InputError("photo", file.name, most)
    data: bytes = file.read()
    return data


def _amount(request: HttpRequest, held: Held) -> Amount:
    count = fields.whole(request, f"units-{held.lot}")
    if count is None:
        raise InputError("count", "", _("how many units of %(lot)s") % {"lot": held.lot})
    shelf = fields.text(request, f"shelf-{held.lot}", longest=60)
    return Amount(held.lot, count, count, held.units, shelf)
