"""Books, Lots: what stands where, and one lot's whole life."""

from __future__ import annotations

import re
from dataclasses import dataclass

from django.http import Http404, HttpRequest, HttpResponse
from django.utils.http import urlencode
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET

from pinset.chain.stages import Stage
from pinset.services import cautions
from pinset.services.answers.lot_counts import places_to_count
from pinset.services.books import lots
from pinset.services.looking.causes import causes_in
from pinset.services.looking.media import medium_of
from pinset.services.looking.photos import photos_of
from pinset.services.plans import planning_day
from pinset.services.views import LotView
from pinset.web.formats import whole
from pinset.web.render import page

LONGEST_QUERY = 80
BAR = 598.0
MOST_PAGES = re.compile(r"[0-9]{1,6}")
STAGES = {
    Stage.TUBE: gettext_lazy("tubes"),
    Stage.PLATE: gettext_lazy("plates"),
    Stage.LIQUID: gettext_lazy("liquid cultures"),
    Stage.GRAIN: gettext_lazy("grain"),
    Stage.SAWDUST: gettext_lazy("sawdust spawn"),
    Stage.BLOCK: gettext_lazy("blocks"),
    Stage.BOTTLE: gettext_lazy("bottles"),
    Stage.BED: gettext_lazy("beds"),
    Stage.PREPARED: gettext_lazy("prepared vessels"),
}
COUNT_WORDS = {
    "made": gettext_lazy("made"),
    "alive": gettext_lazy("alive"),
    "used": gettext_lazy("used"),
    "sold": gettext_lazy("sold"),
    "spent": gettext_lazy("spent"),
    "lost": gettext_lazy("lost to contamination"),
    "culled": gettext_lazy("taken out for another cause"),
    "unexplained": gettext_lazy("unexplained"),
}
SHAPES = {
    "alive": "alive",
    "used": "used",
    "sold": "soldfill",
    "spent": "spentfill",
    "lost": "lostfill",
    "culled": "culledfill",
    "unexplained": "promised",
}
"""How each account is drawn in the bar of units; loss is hatched."""


@dataclass(frozen=True, slots=True)
class Part:
    """A stretch of the bar of units."""

    shape: str
    x: float
    width: float


def bar_of(counts: dict[str, int]) -> tuple[Part, ...]:
    """Return the stretches of the bar in which a lot's units are shown."""
    shown = {name: abs(counts.get(name, 0)) for name in SHAPES}
    total = sum(shown.values())
    parts, x = [], 1.0
    for name, count in shown.items():
        if count:
            width = BAR * count / total
            parts.append(Part(SHAPES[name], round(x, 1), round(width, 1)))
            x += width
    return tuple(parts)


@require_GET
def show(request: HttpRequest) -> HttpResponse:
    """Show a page of lots, found by code or words, stage and variety."""
    asked = {
        name: request.GET.get(name, "").strip()[:LONGEST_QUERY]
        for name in ("query", "variety", "stage")
    }
    given = request.GET.get("page", "1")
    number = int(given) if MOST_PAGES.fullmatch(given) else 1
    view = lots.lots_view(asked["query"], asked["variety"], asked["stage"], page=max(1, number))
    book, _today = planning_day.farm_book()
    kept = {name: value for name, value in asked.items() if value}
    context = {
        **asked,
        "view": view,
        "stages": [(stage.value, word) for stage, word in STAGES.items()],
        "varieties": [(variety.code, variety.name) for variety in book.varieties],
        "earlier": urlencode({**kept, "page": str(view.page - 1)}),
        "later": urlencode({**kept, "page": str(view.page + 1)}),
    }
    return page(request, "lots.html", context, here="books")


def counts_words(view: LotView) -> str:
    """Return the counts in words, for those who do not see the bar."""
    return ", ".join(
        f"{whole(count)} {COUNT_WORDS[name]}"
        for name, count in view.counts
        if count and name in COUNT_WORDS
    )


@dataclass(frozen=True, slots=True)
class Doubt:
    """Something said of a lot that does not fit the books, to be meant or not."""

    what: str  # the word in the address
    sentence: str
    hint: str
    sent: tuple[tuple[str, str], ...]  # the form, to be sent again with a reason


@require_GET
def one(request: HttpRequest, code: str) -> HttpResponse:
    """Show one lot's life, parents, children and counts."""
    return lot_page(request, code)


def lot_page(request: HttpRequest, code: str, doubt: Doubt | None = None) -> HttpResponse:
    """Return a lot's page, with the question where what was said of it is in doubt."""
    if len(code) > LONGEST_QUERY:
        raise Http404(_("There is no such lot."))
    view = lots.lot_view(code)
    book, _today = planning_day.farm_book()
    shelves = tuple(
        (shelf.code, f"{shelf.code}, {room.name}") for room in book.rooms for shelf in room.shelves
    )
    counted_at = places_to_count(view.line.lot)
    photos = photos_of(view.line.lot, view.line.stage, view.line.step)
    context = {
        "shelves": shelves,
        "causes": causes_in([medium_of(view.line.stage, view.line.step, book)]),
        "cautions": cautions.sentences(("mouldy-units",)),
        "view": view,
        "counts": [(name, COUNT_WORDS.get(name, name), count) for name, count in view.counts],
        "counts_words": counts_words(view),
        "parts": bar_of(dict(view.counts)),
        "shapes": SHAPES,
        "counted_at": counted_at,
        "can_count": bool(view.line.alive or dict(view.counts).get("unexplained")),
        "doubt": doubt,
        "photos": photos,
    }
    kept = None if doubt else (view, shelves, counted_at, photos)
    return page(request, "lot.html", context, here="books", status=409 if doubt else 200, kept=kept)
