"""What to do first about flies and diseases of grow rooms; common practice, no source."""

from __future__ import annotations

from dataclasses import dataclass

from pinset.learning.losses.rooms import ON_TRAPS
from pinset.tables.cautions import caution

NO_SPRAYS = (
    "Spray nothing on mushrooms or on what fruits: what may be used near food stands on the "
    "product's label and in the local rules."
)
"""Stands with every advice that tempts to spray; a caution, no fact of the trade."""


@dataclass(frozen=True, slots=True)
class Advice:
    """What to do first, and what to heed."""

    to_do: str
    cautions: tuple[str, ...]  # keys of the table of cautions


_FLIES = Advice(
    "Take out spent blocks, stumps and wet waste, dry what stands wet, close gaps and screens, and "
    "hang fresh traps. Look which blocks and which drain they come from. " + NO_SPRAYS,
    ("spores", "disinfectants"),
)

ADVICE = {
    ON_TRAPS: _FLIES,
    "flies": _FLIES,
    "cobweb": Advice(
        "Cover each patch with wet paper before anything moves it, lift it out with what it stands "
        "on into a bag, and close the bag there. Take out stumps and dead pins; less wet, more "
        f"moving air. {NO_SPRAYS}",
        ("spores", "disinfectants"),
    ),
    "blotch": Advice(
        "Let caps dry between mistings, move the air, keep humidity below 95 %. Pick blotched ones "
        f"last and throw them away; clean the tools after. {NO_SPRAYS}",
        ("spores", "mist-water"),
    ),
    "green-dust": Advice(
        "Take out what shows it, closed in a bag and last of all; look over the lots that came "
        "with it. It mostly came in before the grow room: see what stands out above.",
        ("mouldy-units", "spores"),
    ),
    "mummies": Advice(
        "Take out what shows it with a wide rim around it, last of all, in a bag; wash hands and "
        "tools before the next bed or shelf. Look at moisture, too: dried out pins look alike.",
        ("spores",),
    ),
    "dead-pins": Advice(
        "Look for draught, dry air and water that stands on pins; look at what the round read off. "
        "Take dead pins out, as mould begins on them.",
        ("spores",),
    ),
}
"""By key of the sign."""

FOLLOWED = tuple(sign for sign in ADVICE if sign != ON_TRAPS)
"""Signs that are counted room by room: diseases, and what comes with them. Signs of the air alone
(dry, long stems) are read off on rounds; a stranger is one too many."""


def cautions_of(advice: Advice) -> tuple[str, ...]:
    """Return the sentences to heed, each with who decides."""
    return tuple(caution(key).words for key in advice.cautions)
