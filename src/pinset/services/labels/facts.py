"""What a label says of a lot, in words: in full, and in the shorter forms a small label needs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from pinset.chain.lotcode import nearest_valid, read_code
from pinset.chain.register import FarmBook
from pinset.chain.stages import Stage, noun_of
from pinset.errors import InputError, RefusedError
from pinset.farm.queries.ages import Age, ages
from pinset.farm.queries.lineage import Relative, parents
from pinset.farm.queries.lots import KnownCodes, LotRow, lot_by_code, rows_of
from pinset.paper.labels.words import Fact
from pinset.services.words import MONTHS, first_upper, joined

AGAR = frozenset({Stage.TUBE, Stage.PLATE, Stage.LIQUID})
SHORT_STAGES = {
    Stage.LIQUID: "liquid",
    Stage.GRAIN: "grain",
    Stage.SAWDUST: "sawdust",
    Stage.PREPARED: "prepared",
}
MOST_PARENTS = 3
SHORT_MONTH = 3  # letters
NO_BREAK = "\u00a0"


@dataclass(frozen=True, slots=True)
class LotFacts:
    """A lot and what stands on its labels beside the code."""

    lot: str
    stage: str
    made: int
    alive: int
    made_on: date | None
    words: str  # "Grain jar, grey oyster"
    facts: tuple[Fact, ...]


def facts_of(typed: str, book: FarmBook) -> LotFacts:
    """Return what stands on the labels of a lot.

    Raises
    ------
    InputError
        If the code has a slip.
    RefusedError
        If no lot has it, or nothing is written down of it yet.
    """
    known = KnownCodes()
    code = read_code(typed, known=known).lot
    try:
        stored = lot_by_code(code)
    except InputError:
        near = nearest_valid(code, known)
        hint = f"Did you mean {' or '.join(near)}?" if near else "Lots lists them."
        raise RefusedError(f"No lot of this farm has the code {code}.", hint) from None
    [row] = rows_of([stored])
    if row.is_void or row.is_announced or not row.stage:
        raise RefusedError(
            f"Nothing can be printed of {code}: the entry that makes it is not there.",
            "Write down how it was made.",
        )
    age = ages([stored.pk]).get(stored.pk, Age())
    what = _what(row, book)
    facts = (what, _uncleared(row, book), _when(row, age), _origin(row, parents(code), book))
    return LotFacts(
        lot=code,
        stage=row.stage,
        made=row.counts.made,
        alive=row.counts.alive,
        made_on=row.made_on,
        words=what.choices[0],
        facts=tuple(fact for fact in facts if fact is not None),
    )


def _what(row: LotRow, book: FarmBook) -> Fact:
    stage = Stage(row.stage)
    noun = noun_of(stage, 1, is_bought=bool(row.bought_from))
    short = SHORT_STAGES.get(stage, noun)
    names = {variety.code: variety.name for variety in book.varieties}
    name = names.get(row.variety, row.variety)
    if stage is Stage.PREPARED:
        noun = f"{noun} for {row.step}"
        short = f"{short}, {row.step}"
    ending = f", {name}" if name else ""
    return Fact(_each(first_upper(f"{noun}{ending}"), first_upper(f"{short}{ending}")), True)


def _uncleared(row: LotRow, book: FarmBook) -> Fact | None:
    """Return that its culture is a clone which is not cleared yet; nothing of any other."""
    culture = next((each for each in book.cultures if each.code == row.culture), None)
    if culture is None or culture.cleared:
        return None
    return Fact(("not cleared for use", "not cleared"), True)


def _each(*choices: str) -> tuple[str, ...]:
    """Return choices, each once."""
    return tuple(dict.fromkeys(choices))


def _when(row: LotRow, age: Age) -> Fact | None:
    full, middle, short = _age(Stage(row.stage), age)
    if row.made_on is None:
        return Fact(_each(full, middle, short)) if full else None
    day, month, year = row.made_on.day, MONTHS[row.made_on.month - 1], row.made_on.year
    brief = f"{day}{NO_BREAK}{month[:SHORT_MONTH]}"
    return Fact(
        _each(
            joined_by_comma(full, f"made {day}{NO_BREAK}{month} {year}"),
            joined_by_comma(middle, f"{brief} {year}"),
            joined_by_comma(short, f"{brief} {year % 100:02}"),
        )
    )


def _age(stage: Stage, age: Age) -> tuple[str, str, str]:
    """Return how far the lot is from its mother: transfers on agar, generation from grain on."""
    if stage in AGAR:
        if not age.transfers:
            return "", "", ""
        return (f"transfer {age.transfers}", f"transfer {age.transfers}", f"T{age.transfers}")
    if stage is Stage.PREPARED or not age.generation:
        return "", "", ""
    number = age.generation
    return f"generation {number}", f"gen. {number}", f"G{number}"


def joined_by_comma(*parts: str) -> str:
    """Return the parts that are not empty, parted by commas."""
    return ", ".join(part for part in parts if part)


def _origin(row: LotRow, family: Sequence[Relative], book: FarmBook) -> Fact | None:
    """Return where a lot came from: its parents, or else supplier, culture or cook."""
    living = tuple(each for each in family if each.stage and each.stage != Stage.PREPARED.value)
    stage = Stage(row.stage)
    culture = f"culture {row.culture}" if row.culture and stage in AGAR else ""
    if living:
        full, middle, short = _from_parents(living)
        return Fact(_each(joined_by_comma(full, culture), joined_by_comma(middle, row.culture
                          if culture else ""), short))  # fmt: skip
    if row.bought_from:
        return Fact((joined_by_comma(f"bought from {row.bought_from}", culture),))
    if row.cook and stage is Stage.PREPARED:
        return Fact(_each(f"cook {row.cook}", row.cook))
    if row.culture:
        source = next((each.source for each in book.cultures if each.code == row.culture), "")
        return Fact(_each(f"culture {row.culture}{': ' + source if source else ''}",
                          f"culture {row.culture}", row.culture))  # fmt: skip
    return None


def _from_parents(family: Sequence[Relative]) -> tuple[str, str, str]:
    codes = tuple(dict.fromkeys(each.lot for each in family))
    shown, more = codes[:MOST_PARENTS], len(codes) - MOST_PARENTS
    stages = {each.stage for each in family}
    beyond = [f"{more} more"] if more > 0 else []
    if len(stages) == 1:
        stage = Stage(next(iter(stages)))
        noun = f"{noun_of(stage, len(codes))} "
        brief = f"{SHORT_STAGES.get(stage, noun_of(stage, 1))} "
    else:
        noun = brief = ""
    listed = ", ".join((*shown, *beyond))
    return f"from {noun}{joined((*shown, *beyond))}", f"from {brief}{listed}", f"from {listed}"
