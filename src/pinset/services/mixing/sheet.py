"""The words of a mixing card on paper; needs no farm."""

from __future__ import annotations

from datetime import date

from pinset.paper.mix_sheet import MixSheet, SheetLine, mix_pdf
from pinset.services.clock import wall_day
from pinset.services.mixing.card import MixCard
from pinset.services.mixing.words import percent

HEADS = ("what", "weigh out", "its moisture", "really weighed")


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
