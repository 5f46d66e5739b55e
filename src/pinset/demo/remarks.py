"""Notes people of the demo farm leave, and the clone they took of a good block."""

from __future__ import annotations

from datetime import timedelta

from pinset.chain.register import Culture, StepKind
from pinset.demo.world import World
from pinset.services.answers.history import NewLot, trade

CLONE_DAYS_AGO = 9
CLONED = "pioppino"


def remark(world: World) -> None:
    """Write down today's remark, if there is one."""
    truth = world.truth
    said = {
        truth.seal.until + timedelta(days=1): "Door seal of the kettle replaced; it was hard.",
        truth.hot.since + timedelta(days=3): "Incubation room will not come down, fan at full.",
        truth.tired.until: "Lion's mane slow on plates for months. Fresh tubes bought.",
    }
    if text := said.get(world.today):
        world.diary.add(trade.note(world.diary.tap(16 * 60 + 15, "marta", text)))
    if world.today == truth.today - timedelta(days=CLONE_DAYS_AGO) or _catches_up(world):
        clone(world)


def _catches_up(world: World) -> bool:
    """Say whether the clone fell on a day off and is taken today."""
    wanted = world.truth.today - timedelta(days=CLONE_DAYS_AGO)
    return wanted in world.days_caught_up()[1:]


def clone(world: World) -> None:
    """Take tissue of a good fruit to plates; they wait for their test."""
    parent = max(
        (lot for lot in world.stock.all() if lot.variety == CLONED and lot.flushes),
        key=lambda lot: (lot.yield_factor, lot.code),
        default=None,
    )
    if parent is None or parent.step.kind is not StepKind.FRUIT:
        return
    child = NewLot(
        code=world.new_code(),
        stage=parent.route.step("plate").stage,
        variety=CLONED,
        step="plate",
        route=parent.route.code,
        made_on=world.today,
        culture="piop-clone",
        made_in_demo=True,
    )
    source = f"tissue of a fruit of lot {parent.code}"
    record = Culture("piop-clone", CLONED, source, world.today, cleared=False)
    world.fresh_records.append((world.today, record))
    tap = world.diary.tap(11 * 60 + 45, "marta")
    world.diary.add(trade.clone(tap, parent.code, child, 3, "inc-1"))
