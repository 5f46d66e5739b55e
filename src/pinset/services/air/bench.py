"""A clean bench: the speeds over its face and the fan behind them, in words."""

from __future__ import annotations

from pinset.errors import InputError
from pinset.science.air.bench import FEWEST_POINTS, Face, dirty_pressure, face_flow, face_of
from pinset.science.air.fans import fan_power
from pinset.services.air.answer import Answer, Fact
from pinset.services.air.spoken import pressure, said
from pinset.services.air.typed import BARE, Typed, at_its_field
from pinset.units import Quantity, parse

FIELDS = {"face speed": "speeds", "bench face": "width", "pressure drop": "filter-pressure"}
USUAL = {"fan-share": "40 %"}
METHOD = (
    "Window 0.36 to 0.54 m/s at the place of work (EU guidance: 0.45 and a fifth either way).",
    "Flow: face area times mean speed. Fan: flow times dirty pressure over efficiency.",
)


def bench_answer(form: Typed) -> Answer:
    """Return what readings over the face of a bench say.

    Raises
    ------
    InputError
        If something is missing or cannot be; its field is the one of the form.
    """
    try:
        face = face_of(read_speeds(form))
        return _answer(face, form)
    except InputError as problem:
        raise at_its_field(problem, FIELDS) from None


def read_speeds(form: Typed) -> list[float]:
    """Return the speeds that were typed, row by row, in m/s.

    Raises
    ------
    InputError
        If there is none, or one is no speed.
    """
    unit = BARE[form.system][Quantity.SPEED]
    words = form.given("speeds").replace(";", " ").split()
    if not words:
        raise InputError("speeds", "", f"speeds in {unit}, row by row, a blank between them")
    return [parse(Quantity.SPEED, word, unit, "speeds") for word in words]


def _answer(face: Face, form: Typed) -> Answer:
    low, high = (said(Quantity.SPEED, end, form.system) for end in face.window)
    out = len(face.slow) + len(face.fast)
    sentence = f"Every point of the bench is in the window, {low} to {high}."
    if not face.is_in_window:
        sentence = f"{out} of the points are out of the window, {low} to {high}."
    flags = []
    if face.slow:
        flags.append(f"Too slow at no. {_numbers(face.slow)}. Look at pre-filter, fan and seals.")
    if face.fast:
        flags.append(f"Too fast at no. {_numbers(face.fast)}. It stirs the air round the hands.")
    points = [
        "First air: nothing, hands included, between the filter's face and an open vessel.",
        "Make smoke at the face, round arms and vessels and at the front edge; write it down.",
    ]
    if not face.has_enough_points:
        points.append(f"Read {FEWEST_POINTS} to 9 points: fewer may miss a slow corner.")
    return Answer(
        sentence=sentence,
        flags=tuple(flags),
        facts=(*_facts(face, form), *_fan(face, form)),
        points=tuple(points),
        method=METHOD,
        ending="Speeds say nothing of holes in the filter: that takes a particle scan or smoke.",
    )


def _numbers(points: tuple[int, ...]) -> str:
    return ", ".join(str(point + 1) for point in points)


def _facts(face: Face, form: Typed) -> list[Fact]:
    return [
        Fact("Mean", said(Quantity.SPEED, face.mean_m_s, form.system)),
        Fact("Least", said(Quantity.SPEED, face.least_m_s, form.system)),
        Fact("Most", said(Quantity.SPEED, face.most_m_s, form.system)),
        Fact("Spread", f"{face.spread * 100:.0f} %", "standard deviation over the mean"),
    ]


def _fan(face: Face, form: Typed) -> list[Fact]:
    if not form.given("width"):
        return []
    wide, tall = form.above("width", Quantity.LENGTH), form.above("height", Quantity.LENGTH)
    flow = face_flow(wide, tall, face.mean_m_s)
    names = ("filter-pressure", "pre-pressure")
    drops = [form.least(name, Quantity.GAUGE_PRESSURE) for name in names]
    dirty = dirty_pressure(drops, form.least("casing-pressure", Quantity.GAUGE_PRESSURE))
    facts = [Fact("Air over the face", said(Quantity.FLOW, flow, form.system))]
    if dirty > 0.0:
        share = form.number("fan-share", 1.0, 100.0, "1 to 100 %", "%") / 100.0
        watts = said(Quantity.POWER, fan_power(flow, dirty, share), form.system)
        against = pressure(dirty, form.system)
        facts.append(Fact("Fan, filters dirty", f"against {against}", f"takes {watts}"))
    return facts
