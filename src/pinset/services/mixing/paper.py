"""The mixing card of an address on paper, by the farm's name and day."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from pinset.services.clock import wall_day
from pinset.services.cooks.judge.paper import Printed
from pinset.services.frame import Frame
from pinset.services.mixing.card import mix_card
from pinset.services.mixing.sheet import card_as_pdf


def card_on_paper(
    given: Mapping[str, str], farm: Frame, paper: str = "a4", day: date | None = None
) -> Printed:
    """Return a mixing card as PDF.

    Parameters
    ----------
    given : mapping of str to str
        As for :func:`pinset.services.mixing.card.mix_card`.
    farm : Frame
        Its name, units and currency.
    paper : str
        ``a4`` or ``letter``.
    day : date, optional
        On which it is printed; the farm's day if None.

    Raises
    ------
    InputError
        If something is not accepted, or the paper is another.
    """
    card = mix_card(given, farm.units, farm.currency)
    printed = day or wall_day(farm.time_zone)
    return Printed(f"mix-{printed}.pdf", card_as_pdf(card, paper, farm.name, printed))
