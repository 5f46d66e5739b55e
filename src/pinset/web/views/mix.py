"""Mix: what goes in the bag today, the same on paper, and the cheapest blend."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from urllib.parse import quote, urlencode

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

from pinset.errors import InputError
from pinset.services import cautions
from pinset.services.frame import frame
from pinset.services.mixing.card import mix_card
from pinset.services.mixing.cheap import cheap_blend
from pinset.services.mixing.paper import card_on_paper
from pinset.web.formats import system
from pinset.web.forms import Field, refused
from pinset.web.mix_fields import (
    FRESH,
    FRESH_OFFERS,
    RowFields,
    card_rows,
    filled_fields,
    limit_fields,
    offer_rows,
    row_count,
    share_fields,
    weighed_fields,
)
from pinset.web.render import page

LONGEST = 60
ASKED = re.compile(
    r"(what|share|moisture|price|nitrogen|carbon|ash|name|weighed|least|most|stock)-\d{1,2}"
    r"|units|vessel|fill|moisture|gain|step|water-step|basis|for|water-in|rows"
    r"|(nitrogen|ratio)-(least|most)|(ash|supplement)-most"
)
BEFOREHAND = ("dust", "lifting", "lime")
BAD = 422


@require_GET
def show(request: HttpRequest) -> HttpResponse:
    """Show the form of a mix, its card and what was really weighed."""
    typed = _typed(request)
    fresh = not any(name.startswith("what-") for name in typed)
    typed = {**FRESH, **typed} if fresh else typed
    rows, card, wrong = card_rows(typed), None, ""
    groups = [filled_fields(typed), share_fields(typed)]
    if not fresh:
        try:
            card = mix_card(typed, system(), frame().currency)
        except InputError as problem:
            rows, groups, wrong = _refused(rows, groups, typed, problem)
    names = (
        {n: line.name for n, line in zip(_filled(typed), card.lines, strict=True)} if card else {}
    )
    weighed = weighed_fields(typed, names)
    context = {
        "rows": rows,
        "filled": groups[0],
        "shares": groups[1],
        "card": card,
        "wrong": wrong,
        "weighed": weighed,
        "kept": _kept(typed, weighed),
        "carried": [each for each in typed.items() if each[0].startswith(("weighed-", "water-in"))],
        "next_rows": row_count(typed) + 1,
        "paper": urlencode(typed),
        "cautions": card.cautions if card else cautions.sentences(BEFOREHAND),
    }
    return page(request, "mix.html", context, here="mix", status=BAD if wrong else 200)


@require_GET
def paper(request: HttpRequest) -> HttpResponse:
    """Give the mixing card of an address for paper; ``paper=letter`` for that size."""
    size = request.GET.get("paper", "") or ("letter" if system() == "us" else "a4")
    printed = card_on_paper(_typed(request), frame(), size)
    answer = HttpResponse(printed.data, content_type="application/pdf")
    answer.headers["Content-Disposition"] = f"inline; filename*=UTF-8''{quote(printed.name)}"
    return answer


@require_GET
def cheapest(request: HttpRequest) -> HttpResponse:
    """Show the form of a cheapest blend and its answer."""
    typed = _typed(request)
    fresh = not any(name.startswith("what-") for name in typed)
    typed = {**FRESH_OFFERS, **typed} if fresh else typed
    rows, blend, wrong = offer_rows(typed), None, ""
    groups = [filled_fields(typed), limit_fields(typed)]
    if not fresh:
        try:
            blend = cheap_blend(typed, system(), frame().currency)
        except InputError as problem:
            rows, groups, wrong = _refused(rows, groups, typed, problem)
    context = {
        "rows": rows,
        "filled": groups[0],
        "limits": groups[1],
        "blend": blend,
        "wrong": wrong,
        "next_rows": row_count(typed) + 1,
        "cautions": blend.cautions if blend and blend.fits else cautions.sentences(BEFOREHAND),
    }
    return page(request, "mix_cheapest.html", context, here="mix", status=BAD if wrong else 200)


def _typed(request: HttpRequest) -> dict[str, str]:
    return {
        name: request.GET.get(name, "")[:LONGEST] for name in request.GET if ASKED.fullmatch(name)
    }


def _filled(typed: Mapping[str, str]) -> list[int]:
    return [n for n in range(1, row_count(typed) + 1) if typed.get(f"what-{n}", "").strip()]


def _kept(typed: Mapping[str, str], weighed: tuple[Field, ...]) -> list[tuple[str, str]]:
    """Return what the form of the weights carries along."""
    own = {each.name for each in weighed}
    return [(name, text) for name, text in typed.items() if name not in own and text]


def _refused(
    rows: tuple[RowFields, ...],
    groups: list[tuple[Field, ...]],
    typed: Mapping[str, str],
    problem: InputError,
) -> tuple[tuple[RowFields, ...], list[tuple[Field, ...]], str]:
    """Return the form with the sentence at what was refused, that row unfolded."""
    every = tuple(each for row in rows for each in row.all)
    every += tuple(each for group in groups for each in group)
    _, sentence = refused(every, typed, problem, problem.field)
    row = next((each for each in rows if any(f.name == problem.field for f in each.all)), None)
    if row is not None:
        sentence = f"{row.title}. {sentence}"

    def with_wrong(fields: tuple[Field, ...]) -> tuple[Field, ...]:
        return refused(fields, typed, problem, problem.field)[0]

    found = tuple(
        replace(
            each,
            fields=with_wrong(each.fields),
            more=with_wrong(each.more),
            is_open=each.is_open or any(f.name == problem.field for f in each.more),
        )
        for each in rows
    )
    return found, [with_wrong(group) for group in groups], sentence
