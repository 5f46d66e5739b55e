"""A small real farm for the pages' tests: people who sign in, lots alive, jobs laid for today."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from pinset.chain.lotcode import encode
from pinset.chain.plain import to_plain
from pinset.chain.register import FarmBook, StandingLot, Worker
from pinset.farm import door, job_store, register_store, trade
from pinset.farm.entries import NewLot
from pinset.farm.job_store import JobToLay, PlanRow
from pinset.farm.trade import Tap
from pinset.files.description.example import example_book
from pinset.planning.plan import Plan
from pinset.services.clock import now_utc
from pinset.services.farms import people
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob

PASSWORD = "three small words"  # noqa: S105  (of the invented farm)
ZONE = "Europe/Vienna"


def today() -> date:
    """Return the farm's day."""
    return now_utc().astimezone(ZoneInfo(ZONE)).date()


@dataclass(frozen=True)
class Shed:
    """Codes of what stands there and of what is to be done."""

    plates: str
    jars: str
    blocks: str
    fruiting: str
    jobs: dict[str, str]  # by name
    day: date


def book_of(day: date) -> FarmBook:
    """Return the example farm with an owner and a worker."""
    hours = (6.0,) * 7
    workers = (Worker("ada", "Ada", hours, role="owner"), Worker("ben", "Ben", hours))
    return replace(example_book(day), workers=workers)


def _open(book: FarmBook, standing: StandingLot, code: str, number: int, now: datetime) -> None:
    route = book.routes[0]
    lot = NewLot(
        code=code,
        stage=route.step(standing.step).stage,
        variety=standing.variety,
        step=standing.step,
        route=route.code,
        made_on=standing.made_on,
        culture=standing.culture,
        generation=standing.generation,
        transfers=standing.transfers,
    )
    tap = Tap(f"{number:032x}", now - timedelta(hours=30))
    entry = trade.opening(
        tap,
        lot,
        standing.count,
        standing.place,
        made=standing.made_count,
        step_since=standing.in_room_since,
    )
    door.record([entry], now=now - timedelta(hours=29))


def _jobs(day: date, codes: dict[str, str]) -> dict[str, PlannedJob]:
    common = {"variety": "oyster", "variety_name": "Grey oyster"}
    return {
        "jars": PlannedJob(
            "jars", JobKind.TRANSFER, "transfer", day, 10, "units",
            f"grain jars from plates {codes['plate']}, 2 of 12", "laboratory",
            detail="These plates keep for another week.", stage="grain", step="grain",
            lots=(LotAmount(codes["plate"], 2, "plate"),), minutes=40, place="bench",
            why="Blocks are wanted in two weeks.", serves=("4 kg Grey oyster for A kitchen",),
            spoils="Nothing soon.", cautions=("alcohol-flame",), **common,
        ),
        "shake": PlannedJob(
            "shake", JobKind.SHAKE, "shake", day, 10, "units",
            f"grain jars to shake, {codes['grain']}", "incubation", stage="grain", step="grain",
            lots=(LotAmount(codes["grain"], 10, "grain"),), minutes=10, **common,
        ),
        "look": PlannedJob(
            "look", JobKind.LOOK, "look", day, 40, "units",
            f"bags to look over, {codes['block']}", "incubation", stage="block", step="block",
            lots=(LotAmount(codes["block"], 40, "block"),), minutes=20,
            first_day=day - timedelta(days=1), cautions=("mouldy-units",), **common,
        ),
        "pick": PlannedJob(
            "pick", JobKind.PICK, "pick", day, 5, "kg",
            f"kg or so to pick in Grow room, {codes['fruiting']}", "growing", stage="block",
            step="fruiting", lots=(LotAmount(codes["fruiting"], 30, "fruiting"),), minutes=30,
            cautions=("spores",), due="13:00", **common,
        ),
        "soak": PlannedJob(
            "soak", JobKind.PREPARE, "soak", day, 8, "kg", "kg rye into the soak", "preparation",
            stage="prepared", step="grain", minutes=15, fixed_at="17:00",
            for_day=day + timedelta(days=1), cautions=("lifting",), **common,
        ),
        "deliver": PlannedJob(
            "deliver", JobKind.DELIVER, "deliver", day, 4, "kg", "kg grey oyster for A kitchen",
            "packing", promise="kitchen-friday", grams=4000, fixed_at="14:00", minutes=10,
            cautions=("food",), **common,
        ),
    }  # fmt: skip


def build() -> Shed:
    """Write the farm down and return its codes."""
    now, day = now_utc(), today()
    book = book_of(day)
    register_store.write(
        register_store.book_records(book), day - timedelta(days=60), "", now - timedelta(days=2)
    )
    for code in ("ada", "ben"):
        people.set_password(code, PASSWORD)
    codes = {}
    for number, standing in enumerate(book.lots, start=1):
        codes[standing.step] = encode(number)
        _open(book, standing, codes[standing.step], number, now)
    jobs = _jobs(day, codes)
    laid = job_store.lay(
        PlanRow(now, day, 0, {"plan": to_plain(no_plan(day)), "remarks": [], "changes": []},
                0.0, 0.1, "proven"),
        keep=[],
        new=[
            JobToLay("", job.day, job.kind.value, to_plain(job), job.variety, job.step, job.count,
                     job.room_kind)
            for job in jobs.values()
        ],
        withdraw=[],
    )  # fmt: skip
    return Shed(
        codes["plate"],
        codes["grain"],
        codes["block"],
        codes["fruiting"],
        dict(zip(jobs, laid, strict=True)),
        day,
    )


def no_plan(day: date) -> Plan:
    return Plan(
        start=day,
        days=56,
        whole_days=14,
        starts=(),
        moves=(),
        cooks=(),
        picks=(),
        short=(),
        at_limit=(),
        weeks=(),
        gap=0.0,
        seconds=0.1,
        objective=0.0,
        bound=0.0,
        status="proven",
    )
