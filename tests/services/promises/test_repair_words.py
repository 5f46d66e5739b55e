"""What makes a weak promise surer is said where it was tried; else what the buyer can be told."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from farm.small_farm import BOOK, TODAY
from pinset.planning.reading.in_vain import InVain, Vain
from pinset.planning.reading.repair_trials import Parents, Repair, Touched
from pinset.planning.season.chances import OrderChance
from pinset.services.book_reader import Reader
from pinset.services.promises.repair_words import (
    NOT_TRIED,
    Tried,
    in_vain_words,
    lesser_words,
    repair_in_words,
    what_helps,
)
from pinset.services.words import short_day

DAY = date(2026, 3, 20)
KEY = ("market-grey", DAY)
WEAK = OrderChance(
    "market-grey", DAY, "grey", "gram", 5000.0, 0.78, 4500.0, 3000.0, 5000.0, 2270.0, sure=2480.0
)
VAIN = InVain("market-grey", DAY, "grey", Vain.LATE)
READER = Reader(BOOK, TODAY)


MENDED = Repair(
    "market-grey", DAY, "grey", "block", TODAY + timedelta(days=3), 14, "block",
    TODAY + timedelta(days=2), is_more_cook=True, before=0.264, after=0.83,
    is_planned_anew=True,
)  # fmt: skip


def test_one_more_batch_is_said_with_its_cook_and_its_chance() -> None:
    reader = Reader(BOOK, TODAY)
    on, cooked = TODAY + timedelta(days=3), TODAY + timedelta(days=2)
    said = repair_in_words(MENDED, reader)
    assert said == (
        f"14 blocks more on {short_day(on)}, with one more block cook on {short_day(cooked)}, "
        "would make it 83 of 100 seasons instead of 26, pinned and planned anew."
    )
    assert repair_in_words(replace(MENDED, is_planned_anew=False), reader) == ""
    room = repair_in_words(replace(MENDED, is_more_cook=False), reader)
    assert f", for which the block cook of {short_day(cooked)} has room, would" in room
    bare = repair_in_words(replace(MENDED, cook="", cook_on=None), reader)
    assert bare.startswith(f"14 blocks more on {short_day(on)} would make it 83 of 100")
    assert repair_in_words(replace(MENDED, step="gone"), reader) == ""
    made = replace(MENDED, parents=(Parents("grain", TODAY, 2),))
    assert (
        f"cook on {short_day(cooked)} (made from 2 grain jars more on {short_day(TODAY)}), would"
    ) in repair_in_words(made, reader)


def helps(*, is_short: bool = False, handed: float = 0.0, **of: object) -> str:
    tried = Tried.of(of.get("found", ()), of.get("in_vain", ()), TODAY)  # type: ignore[arg-type]
    return what_helps(tried, KEY, WEAK, 5000.0, handed, READER, is_short=is_short)


def test_where_nothing_was_tried_no_cure_is_named() -> None:
    assert helps() == "As it stands, 2.4 kg instead of 5 kg would hold in 95 of 100 seasons."


def test_a_batch_that_was_tried_is_named_with_what_it_does() -> None:
    said = helps(found=(MENDED,))
    assert "would make it 83 of 100 seasons instead of 26, pinned and planned anew." in said
    assert "Tell the buyer" not in said
    past = replace(MENDED, on=TODAY - timedelta(days=1))
    assert "more on" not in helps(found=(past,)), "its day is over"


def test_what_comes_too_late_says_so_and_what_the_buyer_can_be_told() -> None:
    assert helps(in_vain=(VAIN,)) == (
        "No new batch was found that would make it surer: nothing started from now on can be "
        "there in time. Moving what is alive on other days was not tried; pin a move to see what "
        "it does. Else tell the buyer early: as it stands, 2.4 kg instead of 5 kg would hold in "
        "95 of 100 seasons."
    )
    short = helps(in_vain=(VAIN,), is_short=True)
    assert short.startswith("Else tell the buyer early: "), "its reason says why already"


def test_a_full_room_is_named() -> None:
    full = replace(VAIN, cause=Vain.FULL, because="the grow room east is full on 25 March")
    assert in_vain_words(full, READER) == (
        "No new batch was found that would make it surer: the grow room east is full on 25 March."
    )


def test_a_batch_that_does_little_is_told_with_what_it_would_do() -> None:
    on = TODAY + timedelta(days=3)
    little = replace(
        VAIN, cause=Vain.LITTLE, step="block", on=on, units=14, before=0.26, after=0.28
    )
    assert in_vain_words(little, READER).endswith(
        f"make it clearly surer: with 14 blocks more on {short_day(on)}, pinned and planned anew, "
        "it would be 28 of 100 seasons instead of 26."
    )
    hopeless = replace(little, is_hopeless=True)
    assert in_vain_words(hopeless, READER).endswith("were tried and do next to nothing for it.")
    other = Touched("gone", DAY, 0.67, 0.99)
    assert in_vain_words(replace(little, surer=other), READER).endswith(
        f" gone on {short_day(DAY)} would then be met in 99 of 100 seasons instead of 67."
    )
    none = replace(VAIN, cause=Vain.LITTLE)
    assert in_vain_words(none, READER).endswith("fits in and is there in time.")
    few = replace(none, because="there are too few grain jars for it")
    assert in_vain_words(few, READER).endswith(
        ": one more batch was tried, but there are too few grain jars for it."
    )
    assert in_vain_words(replace(little, step="gone"), READER).endswith("is there in time.")


def test_what_helps_at_the_cost_of_another_promise_says_whose() -> None:
    on, dear = TODAY + timedelta(days=3), Touched("gone", DAY, 0.64, 0.36)
    said = in_vain_words(
        replace(
            VAIN, cause=Vain.LITTLE, step="block", on=on, units=14, before=0.72, after=0.99,
            weaker=dear,
        ),
        READER,
    )  # fmt: skip
    assert said.startswith("What was found would make it surer at the cost of another promise: ")
    assert said.endswith("would then be met in 36 of 100 seasons instead of 64.")
    assert "No new batch" not in said
    cure = repair_in_words(replace(MENDED, weaker=dear), READER)
    assert cure.endswith("in 36 of 100 seasons instead of 64, so weigh that against it.")


def test_what_is_started_later_is_no_bad_news_yet() -> None:
    on = TODAY + timedelta(days=30)
    later = replace(VAIN, cause=Vain.NOT_YET, step="block", on=on)
    said = helps(in_vain=(later,))
    assert said.startswith(f"What serves it is started from {short_day(on)} on; ")
    assert "Tell the buyer" not in said


@pytest.mark.parametrize(
    ("sure", "handed", "words"),
    [
        (0.0, 0.0, "as it stands, nothing of the 5 kg holds in 95 of 100 seasons."),
        (0.0, 1000.0, "as it stands, nothing more of the 5 kg holds in 95 of 100 seasons."),
        (1290.0, 1000.0, "as it stands, 2.2 kg instead of 5 kg would hold in 95 of 100 seasons."),
        (876.0, 0.0, "as it stands, 0.8 kg instead of 5 kg would hold in 95 of 100 seasons."),
        (4990.0, 0.0, "as it stands, 4.9 kg instead of 5 kg would hold in 95 of 100 seasons."),
        (5000.0, 0.0, ""),
    ],
)
def test_what_holds_is_rounded_down(sure: float, handed: float, words: str) -> None:
    assert lesser_words(replace(WEAK, sure=sure), 5000.0, handed, READER) == words


def test_units_that_hold_are_whole() -> None:
    sold = replace(WEAK, measure="unit", sure=7.0)
    said = lesser_words(sold, 12.0, 0.0, READER)
    assert said == "as it stands, 7 units instead of 12 units would hold in 95 of 100 seasons."


def test_old_plans_know_of_no_lesser_weight() -> None:
    tried = Tried.of((), (VAIN,), TODAY)
    said = what_helps(tried, KEY, replace(WEAK, sure=None), 5000.0, 0.0, READER, is_short=False)
    assert said.endswith(NOT_TRIED)
