"""Units past their time that a person judges still good are left alone, and go on."""

from __future__ import annotations

import secrets
from datetime import timedelta

import pytest

from farm.small_farm import CODES, NOW, TODAY, Taps, lot
from pinset.chain.register import FarmBook
from pinset.chain.stages import Stage
from pinset.errors import RefusedError
from pinset.farm import door, trade
from pinset.services.answers import putting_off
from pinset.services.clock import at_clock
from pinset.services.floor.next_things import hand_view
from pinset.services.floor.records import Amount, Deed, Held
from pinset.services.floor.taps import Saying
from pinset.services.floor.writing_down import write_down
from pinset.services.jobs.known import JUDGED_DAYS, settled_today
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from services.conftest import FULL_BOOK, LayJob

OLD = CODES[121]


@pytest.fixture
def old(farm: FarmBook) -> str:  # noqa: ARG001
    """Blocks of sixty days ago; theirs keep ten days once they are ripe."""
    made = lot(OLD, Stage.BLOCK, "block", made_on=TODAY - timedelta(days=60))
    door.record([trade.opening(Taps()(hours=-40), made, 20, "inc-2")], now=NOW)
    return OLD


def test_a_judgement_stands_for_some_days(old: str, lay: LayJob) -> None:
    lots = (LotAmount(old, 20, "block"),)
    code = lay(JobKind.DISCARD, key=f"discard:{old}", lots=lots, count=20)
    putting_off.not_at_all(code, person="ada", client_id=secrets.token_hex(16), reason="pinning")
    asked = PlannedJob(
        key=f"discard:{old}", kind=JobKind.DISCARD, task="discard", day=TODAY, count=20,
        unit="units", what="blocks", room_kind="incubation", lots=lots,
    )  # fmt: skip
    begin = at_clock(TODAY, "00:00", FULL_BOOK.farm.time_zone)  # of the farm's own day

    def is_settled(days: int) -> bool:
        day = timedelta(days=days)
        return settled_today(TODAY + day, begin + day, ()).covers(asked)

    assert is_settled(1)
    assert is_settled(JUDGED_DAYS)
    assert not is_settled(JUDGED_DAYS + 1)


def test_they_may_go_into_the_grow_room_with_a_reason(old: str) -> None:
    things = {thing.deed: thing for thing in hand_view([Held(old)]).things}
    assert not things[Deed.MOVE].is_usual
    assert "past its time" in things[Deed.MOVE].detail
    said = Saying(Deed.MOVE, (Amount(old, 20, 20),))
    with pytest.raises(RefusedError, match="past"):
        write_down(said, person="ada", client_id=secrets.token_hex(16))
    said = Saying(Deed.MOVE, (Amount(old, 20, 20),), reason="pinning, they look fine")
    write_down(said, person="ada", client_id=secrets.token_hex(16))
    [in_hand] = hand_view([Held(old)]).lots
    assert in_hand.line.step == "fruiting"
