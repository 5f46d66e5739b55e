"""Scan: labels by a scanner's keystrokes, by photo or typed, and what happens next by one tap."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from http import HTTPStatus

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from pinset.errors import InputError, PinsetError
from pinset.services.floor.in_hand import held_of, taken, without
from pinset.services.floor.next_things import hand_view
from pinset.services.floor.reading import read_photo, read_texts
from pinset.services.floor.records import FROM_A_SHELF, Held, LabelsRead, Unread, WrittenDown
from pinset.services.floor.tap_undone import take_back
from pinset.services.floor.writing_down import write_down
from pinset.services.plans import planning_day
from pinset.web import fields
from pinset.web.client_ids import read_client_id
from pinset.web.offline import is_again
from pinset.web.render import Said, page
from pinset.web.scan_forms import (
    CHOICES,
    NOT_TYPED,
    Asked,
    Typed,
    asked_again,
    our_names,
    photo_sent,
    read_saying,
    typed,
)
from pinset.web.who import who
from pinset.web.wording import said

IN_HAND = "in_hand"
"""Where the session of a device keeps the lots in hand."""

LAST_TAP = "last_tap"
LONGEST_SCANNED = 4000
MOST_ENTRIES = 70


@dataclass(frozen=True, slots=True)
class Undo:
    """The last tap of this device: its entries, and what was in hand."""

    entries: tuple[str, ...]
    held: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Told:
    """What a page of lots in hand has to tell beside them."""

    unread: tuple[Unread, ...] = ()
    wrong: str = ""
    asked: Asked | None = None  # a tap that something speaks against, to be meant or not
    done: WrittenDown | None = None  # what was just written down
    undo: Undo | None = None  # by which it is taken back
    typed: Typed = NOT_TYPED  # into a form that was refused
    status: int = 200


NOTHING = Told()


def _in_hand(request: HttpRequest) -> tuple[Held, ...]:
    kept = request.session.get(IN_HAND, ())
    return tuple(held_of(each) for each in kept)


def _keep(request: HttpRequest, hand: Sequence[Held]) -> None:
    request.session[IN_HAND] = [str(each) for each in hand]


def _is_part(request: HttpRequest) -> bool:
    return bool(request.headers.get("HX-Request"))


def _shown(
    request: HttpRequest, hand: Sequence[Held], told: Told = NOTHING, *, one: bool = False
) -> HttpResponse:
    """Return the page, or the part of it that shows what is in hand."""
    book, _today = planning_day.farm_book()
    context = {
        "view": hand_view(hand),
        "told": told,
        "choices": CHOICES,
        "from_a_shelf": [each.value for each in FROM_A_SHELF],
        "shelves": tuple(
            (shelf.code, f"{shelf.code}, {room.name}")
            for room in book.rooms
            for shelf in room.shelves
        ),
        "one": one,
        "here_is_page": not _is_part(request),
    }
    template = "parts/in_hand.html" if _is_part(request) else "scan.html"
    if _is_part(request) and told.done is not None:
        lines = [Said(told.done.sentence, "good"), *(Said(each, "") for each in told.done.findings)]
        context["said"] = lines
    return page(request, template, context, here="scan", status=told.status)


@require_http_methods(["GET", "POST"])
def show(request: HttpRequest) -> HttpResponse:
    """Show what is in hand; take in hand what was scanned or typed."""
    if request.method == "GET":
        last = None if is_again(request) else request.session.pop(LAST_TAP, None)
        undo = Undo(tuple(last["entries"]), tuple(last["held"])) if last else None
        return _shown(request, _in_hand(request), Told(undo=undo))
    text = fields.text(request, "code", longest=LONGEST_SCANNED)
    return _read(request, read_texts(text.splitlines(), our_names(request)))


def _read(request: HttpRequest, read: LabelsRead) -> HttpResponse:
    hand = taken(_in_hand(request), read.held)
    _keep(request, hand)
    if not read.unread and not _is_part(request):
        return redirect("scan")
    status = HTTPStatus.OK if read.held or not read.unread else HTTPStatus.UNPROCESSABLE_ENTITY
    return _shown(request, hand, Told(unread=read.unread, status=status))


@require_POST
def photo(request: HttpRequest) -> HttpResponse:
    """Take in hand the lots whose labels are on a photo."""
    try:
        data = photo_sent(request)
    except InputError as problem:
        told = Told(wrong=said(problem, _("Photo")), status=HTTPStatus.UNPROCESSABLE_ENTITY)
        return _shown(request, _in_hand(request), told)
    return _read(request, read_photo(data, our_names(request)))


@require_POST
def put_down(request: HttpRequest) -> HttpResponse:
    """Take one lot out of the hand, or all."""
    lot = fields.text(request, "lot", longest=20)
    hand = without(_in_hand(request), lot) if lot else ()
    _keep(request, hand)
    return _shown(request, hand) if _is_part(request) else redirect("scan")


@require_GET
def one(request: HttpRequest, code: str, unit: int | None = None) -> HttpResponse:
    """Show what can happen next to one lot; what is in hand stays as it was."""
    text = code if unit is None else f"{code}/{unit}"
    read = read_texts([text], our_names(request))
    status = HTTPStatus.OK if read.held else HTTPStatus.NOT_FOUND
    return _shown(request, read.held, Told(unread=read.unread, status=status), one=True)


@require_POST
def do(request: HttpRequest) -> HttpResponse:
    """Write down what one tap says of the lots in hand; they are put down then."""
    client_id = read_client_id(request.POST.get("client_id", ""))
    hand = tuple(held_of(each) for each in request.POST.getlist("held"))
    is_one = bool(request.POST.get("one"))
    try:
        saying = read_saying(request, hand)
        done = write_down(
            saying,
            person=who(request).code,
            client_id=client_id,
            at=fields.moment(request, "at"),
            note=fields.text(request, "note"),
        )
    except PinsetError as problem:
        is_input = isinstance(problem, InputError)
        status = HTTPStatus.UNPROCESSABLE_ENTITY if is_input else HTTPStatus.CONFLICT
        asked = None if is_input else asked_again(request, problem)
        told = Told(wrong=said(problem), asked=asked, status=status, typed=typed(request))
        return _shown(request, hand, told, one=is_one)
    left = _in_hand(request)
    if not is_one:
        done_with = {each.lot for each in hand}
        left = tuple(each for each in left if each.lot not in done_with)
        _keep(request, left)
    undo = Undo(done.entries, tuple(str(each) for each in hand))
    if _is_part(request):
        told = Told(done=done, undo=undo)
        return _shown(request, hand if is_one else left, told, one=is_one)
    _tell(request, done)
    if is_one:
        return redirect("scan-lot", hand[0].lot)
    request.session[LAST_TAP] = {"entries": list(undo.entries), "held": list(undo.held)}
    return redirect("scan")


def _tell(request: HttpRequest, done: WrittenDown) -> None:
    sentence = _("Already written down.") if done.already else done.sentence
    messages.success(request, sentence)
    for finding in done.findings:
        messages.warning(request, finding)


@require_POST
def take_back_last(request: HttpRequest) -> HttpResponse:
    """Take back what the last tap wrote down."""
    client_id = read_client_id(request.POST.get("client_id", ""))
    entries = [read_client_id(each) for each in request.POST.getlist("entry")[:MOST_ENTRIES]]
    back = [held_of(each) for each in request.POST.getlist("held")]
    done = take_back(
        entries, person=who(request).code, client_id=client_id, reason=_("tapped by mistake")
    )
    hand = taken(_in_hand(request), back)
    _keep(request, hand)
    if _is_part(request):
        return _shown(request, hand, Told(done=done))
    _tell(request, done)
    return redirect("scan")
