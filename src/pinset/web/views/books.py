"""Books, Rooms: how full every room and shelf is."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext
from django.views.decorators.http import require_GET

from pinset.services.books import books
from pinset.services.views import RoomLine
from pinset.web.render import page

KINDS = {
    "laboratory": gettext_lazy("laboratory"),
    "incubation": gettext_lazy("incubation"),
    "cold": gettext_lazy("cold store of cultures and spawn"),
    "steriliser": gettext_lazy("steriliser room"),
    "preparation": gettext_lazy("preparation"),
    "packing": gettext_lazy("packing and cold store"),
    "growing": gettext_lazy("grow room"),
}
FULL = 0.95


def sentence(rooms: tuple[RoomLine, ...]) -> str:
    """Return which shelves are nearly full, in one sentence."""
    full = [
        code
        for room in rooms
        for code, taken, places in room.shelves
        if places and taken >= FULL * places
    ]
    if not full:
        return _("There is room on every shelf.")
    return ngettext(
        "Shelf %(codes)s is full or nearly so.",
        "Shelves %(codes)s are full or nearly so.",
        len(full),
    ) % {"codes": ", ".join(full)}


@require_GET
def rooms(request: HttpRequest) -> HttpResponse:
    """Show the rooms."""
    lines = books.rooms_view()
    context = {"rooms": lines, "kinds": KINDS, "sentence": sentence(lines)}
    return page(request, "rooms.html", context, here="books")
