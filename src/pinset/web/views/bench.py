"""Bench: lots by scan, photo or typed code, and what they are made into by one tap."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from http import HTTPStatus

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from pinset.errors import InputError, PinsetError
from pinset.services.answers import taking_back
from pinset.services.bench.offers import bench_hand
from pinset.services.bench.page import bench_page
from pinset.services.bench.transfers import transfer
from pinset.services.clock import now_utc
from pinset.services.floor.in_hand import held_of, taken, without
from pinset.services.floor.reading import read_photo, read_texts
from pinset.services.floor.records import Held, LabelsRead, Unread
from pinset.services.views import Done
from pinset.web import fields
from pinset.web.bench_forms import held_in_form, read_by_hand, read_given
from pinset.web.client_ids import read_client_id
from pinset.web.offline import is_again
from pinset.web.render import Said, page
from pinset.web.scan_forms import Asked, asked_again, our_names, photo_sent
from pinset.web.who import who
from pinset.web.wording import said

BENCH = "bench"
HAND = "bench_hand"
SINCE = "bench_since"
LAST = "bench_last"
KEPT_BY_DEVICE = (BENCH, HAND, SINCE)
"""What the session of a device keeps: which bench, what lies on it, since when."""

LONGEST_SCANNED = 4000


@dataclass(frozen=True, slots=True)
class Last:
    """The last transfer of this device."""

    entry: str
    lots: tuple[str, ...]  # made
    held: tuple[str, ...]  # that were in hand


@dataclass(frozen=True, slots=True)
class Told:
    """What the page has to tell beside what lies on the bench."""

    unread: tuple[Unread, ...] = ()
    wrong: str = ""
    asked: Asked | None = None  # a tap that something speaks against, to be meant or not
    asked_at: str = ""  # the name of the address it is sent to again
    done: Done | None = None
    last: Last | None = None
    ticked: tuple[str, ...] = ()  # of a list that was refused
    is_list_asked: bool = False
    status: int = 200


NOTHING = Told()


def in_hand(request: HttpRequest) -> tuple[Held, ...]:
    """Return what lies on the bench of this device."""
    return tuple(held_of(each) for each in request.session.get(HAND, ()))


def keep(request: HttpRequest, hand: Sequence[Held]) -> None:
    """Keep what lies on the bench, and since when something does."""
    request.session[HAND] = [str(each) for each in hand]
    if not hand:
        request.session.pop(SINCE, None)
    elif not request.session.get(SINCE):
        request.session[SINCE] = now_utc().isoformat(timespec="seconds")


def shown(request: HttpRequest, hand: Sequence[Held], told: Told = NOTHING) -> HttpResponse:
    """Return the page of the bench, or the part of it that changes with a scan or a tap."""
    bench = request.session.get(BENCH, "")
    view = bench_page(bench, who(request).code)
    is_part = bool(request.headers.get("HX-Request")) and view.is_here
    context = {
        "view": view,
        "hand": bench_hand(hand),
        "held": tuple(str(each) for each in hand),
        "since": request.session.get(SINCE, ""),
        "told": told,
        "typed": request.POST if request.POST.get("by-hand") else {},
        "here_is_page": not is_part,
        "reasons": (
            _("looked at closely: it is right"),
            _("nothing else is left"),
            _("only to try"),
            _("the books are behind"),
        ),
    }
    if is_part and told.done is not None:
        lines = [Said(told.done.sentence, "good"), *(Said(each, "") for each in told.done.findings)]
        context["said"] = lines
    template = "parts/bench_hand.html" if is_part else "bench.html"
    return page(request, template, context, here="bench", status=told.status)


@require_GET
def show(request: HttpRequest) -> HttpResponse:
    """Show a bench: its begin, or what lies on it."""
    chosen = request.GET.get("bench", "")[:60]
    if chosen:
        request.session[BENCH] = chosen
        return redirect("bench")
    last = None if is_again(request) else request.session.pop(LAST, None)
    kept = Last(last["entry"], tuple(last["lots"]), tuple(last["held"])) if last else None
    return shown(request, in_hand(request), Told(last=kept))


@require_POST
def scan(request: HttpRequest) -> HttpResponse:
    """Lay on the bench what was scanned or typed."""
    text = fields.text(request, "code", longest=LONGEST_SCANNED)
    return _read(request, read_texts(text.splitlines(), our_names(request)))


@require_POST
def photo(request: HttpRequest) -> HttpResponse:
    """Lay on the bench the lots whose labels are on a photo."""
    try:
        data = photo_sent(request)
    except InputError as problem:
        told = Told(wrong=said(problem, _("Photo")), status=HTTPStatus.UNPROCESSABLE_ENTITY)
        return shown(request, in_hand(request), told)
    return _read(request, read_photo(data, our_names(request)))


def _read(request: HttpRequest, read: LabelsRead) -> HttpResponse:
    hand = taken(in_hand(request), read.held)
    keep(request, hand)
    if not read.unread and not request.headers.get("HX-Request"):
        return redirect("bench")
    status = HTTPStatus.OK if read.held or not read.unread else HTTPStatus.UNPROCESSABLE_ENTITY
    return shown(request, hand, Told(unread=read.unread, status=status))


@require_POST
def put_down(request: HttpRequest) -> HttpResponse:
    """Take one lot off the bench, or all."""
    lot = fields.text(request, "lot", longest=20)
    hand = without(in_hand(request), lot) if lot else ()
    keep(request, hand)
    return shown(request, hand) if request.headers.get("HX-Request") else redirect("bench")


@require_POST
def make(request: HttpRequest) -> HttpResponse:
    """Write down what was made of what lies on the bench."""
    client_id = read_client_id(request.POST.get("client_id", ""))
    is_by_hand = bool(request.POST.get("by-hand"))
    hand = () if is_by_hand else held_in_form(request)
    try:
        given = read_by_hand(request) if is_by_hand else read_given(request, hand)
        done = transfer(
            given,
            person=who(request).code,
            client_id=client_id,
            at=fields.moment(request, "at"),
            note=fields.text(request, "note"),
        )
    except PinsetError as problem:
        return _refused(request, hand or in_hand(request), problem)
    used = {each.lot for each in hand}
    left = tuple(each for each in in_hand(request) if each.lot not in used)
    keep(request, left)
    last = Last(done.entry, done.new_lots, tuple(str(each) for each in hand))
    if request.headers.get("HX-Request"):
        return shown(request, left, Told(done=done, last=last))
    _tell(request, done)
    request.session[LAST] = {"entry": last.entry, "lots": last.lots, "held": last.held}
    return redirect("bench")


def _refused(request: HttpRequest, hand: Sequence[Held], problem: PinsetError) -> HttpResponse:
    is_input = isinstance(problem, InputError)
    status = HTTPStatus.UNPROCESSABLE_ENTITY if is_input else HTTPStatus.CONFLICT
    asked = None if is_input else asked_again(request, problem)
    told = Told(wrong=said(problem), asked=asked, asked_at="bench-make", status=status)
    return shown(request, hand, told)


def _tell(request: HttpRequest, done: Done) -> None:
    messages.success(request, _("Already written down.") if done.already else done.sentence)
    for finding in done.findings:
        messages.warning(request, finding)


@require_POST
def take_back_last(request: HttpRequest) -> HttpResponse:
    """Take back the last transfer; what it was made of lies on the bench again."""
    client_id = read_client_id(request.POST.get("client_id", ""))
    entry = read_client_id(request.POST.get("entry", ""))
    back = held_in_form(request)
    done = taking_back.undo(
        entry, person=who(request).code, client_id=client_id, reason=_("tapped by mistake")
    )
    hand = taken(in_hand(request), back)
    keep(request, hand)
    if request.headers.get("HX-Request"):
        return shown(request, hand, Told(done=done))
    _tell(request, done)
    return redirect("bench")
