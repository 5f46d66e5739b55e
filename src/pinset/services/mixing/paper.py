"""The mixing card filled for paper."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from pinset.paper.mix_sheet import MixSheet, SheetLine, mix_pdf
from pinset.services.clock import wall_day
from pinset.services.cooks.judge.paper import Printed
from pinset.services.frame import Frame
from pinset.services.mixing.card import MixCard, mix_card
from pinset.services.mixing.words import percent

HEADS = ("what", "weigh out", "its moisture", "really weighed")


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


def card_as_pdf(
    card: MixCard, paper: str = "a4", name: str = "pinset", day: date | None = None
) -> bytes:
    """Return a card as PDF, by the farm's name and day, or today's.

    Raises
    ------
    InputError
        If the paper is another than a4 or letter.
    """
    return mix_pdf(sheet_of(card, name, f"Made {day or wall_day()}"), paper)


def sheet_of(card: MixCard, farm: str, made: str) -> MixSheet:
    """Return the words that stand on the paper."""
    lines = [SheetLine(each.name, each.weight, each.moisture) for each in card.lines if each.kg]
    facts = (
        ("Filled", card.mass),
        ("Moisture", card.moisture_said),
        ("Supplement", f"{percent(card.supplement, 1)} % of dry mass"),
        ("Ash", f"{percent(card.ash, 1)} % of dry mass"),
        ("Loose volume", f"{card.volume} at most, before mixing" if card.volume else ""),
        ("Cost", card.costing.sentence if card.costing else ""),
        ("Set right", card.correction.sentence if card.correction else ""),
    )
    return MixSheet(
        farm=farm,
        title=f"Mix for {card.counted}",
        nitrogen=card.nitrogen_said,
        ratio=f"C:N {card.ratio_said}",
        heads=HEADS,
        lines=(*lines, SheetLine("water", card.water, "")),
        facts=tuple((name, value) for name, value in facts if value),
        remarks=(*card.too_fine, *card.remarks),
        cautions_head="Cautions",
        cautions=card.cautions,
        made=f"{made}. An estimate, no proof.",
    )
