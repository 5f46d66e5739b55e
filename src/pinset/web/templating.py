"""The Jinja2 environment of the pages: translation, a few formatters, addresses.

Formatters are plain Python; in lists of thousands of rows they cost a tenth of a locale filter.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from typing import Any

from django.templatetags.static import static
from django.urls import reverse
from django_htmx.jinja import htmx_script
from jinja2 import Environment, StrictUndefined

from pinset.services import cautions
from pinset.services.promises.chance_words import in_seasons, of_hundred
from pinset.web import formats, said_at, translating
from pinset.web.blanks import client_id
from pinset.web.forms import attributes


def environment(**options: Any) -> Environment:
    """Return the environment for Django's Jinja2 backend."""
    env = Environment(  # noqa: S701  (autoescape is set among the options below)
        **{
            "trim_blocks": True,
            "lstrip_blocks": True,
            **options,
            "autoescape": True,
            "undefined": StrictUndefined,
            "extensions": ["jinja2.ext.i18n"],
        }
    )
    env.globals.update(
        _=translating.gettext,
        gettext=translating.gettext,
        ngettext=translating.plural,
        static=lru_cache(static),
        url=address,
        htmx_script=lru_cache(htmx_script),
        new_client_id=client_id,
        weighed_in=formats.weighed_in,
    )
    env.filters.update(
        attributes=attributes,
        amount=formats.amount,
        average=formats.average,
        weight=formats.weight,
        temperature=formats.temperature,
        day=formats.day,
        short_day=formats.short_day,
        dated=formats.dated,
        moment=formats.moment,
        clock=formats.clock,
        typed_moment=formats.typed_moment,
        moment_of=formats.moment_of,
        percent=formats.percent,
        in_seasons=in_seasons,
        of_hundred=of_hundred,
        minutes=formats.minutes,
        whole=formats.whole,
        difference=formats.difference,
        gauge=formats.gauge,
        spoken=formats.spoken,
        without_options=said_at.without_options,
        said_at=said_at.said_at,
        few=formats.few,
        hazards=hazards,
        first_upper=formats.first_upper,
        mark_lots=formats.mark_lots,
        stage_place=formats.stage_place,
    )
    return env


@lru_cache(maxsize=4096)
def address(name: str, *arguments: object) -> str:
    """Return the address of a page by its name in :mod:`pinset.web.urls`."""
    return reverse(name, args=arguments)


def hazards(sentences: Iterable[str]) -> str:
    """Return the hazards that cautions speak of, in a few words; each once."""
    words = [
        cautions.hazard_of(sentence) or translating.gettext("others") for sentence in sentences
    ]
    return ", ".join(dict.fromkeys(words))
