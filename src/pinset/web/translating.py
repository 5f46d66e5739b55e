"""Translation for templates: Django's catalogue, looked up once for each language and sentence.

A page asks for some hundred sentences; looking each up anew costs a good part of the page's time.
"""

from __future__ import annotations

from functools import lru_cache

from django.utils.translation import get_language, ngettext
from django.utils.translation import gettext as look_up
from markupsafe import Markup

KEPT = 8192


@lru_cache(maxsize=KEPT)
def _sentence(message: str, _language: str | None) -> Markup:
    return Markup(look_up(message))  # noqa: S704  (our own sentences, and their translations)


def gettext(message: str, **values: object) -> Markup:
    """Return the sentence in the reader's language, with values put in and escaped."""
    sentence = _sentence(message, get_language())
    return sentence % values if values else sentence


def plural(singular: str, several: str, num: int, **values: object) -> Markup:
    """Return the sentence for that number; ``%(num)s`` is the number itself."""
    chosen = Markup(ngettext(singular, several, num))  # noqa: S704  (as above)
    return chosen % {"num": num, **values}
