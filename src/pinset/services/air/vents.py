"""The closed-vent test: a room's own CO2 from pasted readings, in words."""

from __future__ import annotations

from pinset.errors import InputError
from pinset.science.air.door import air_first_ppm
from pinset.science.air.moist import pressure_at
from pinset.science.air.ranges import Range
from pinset.science.air.vents_shut import FEWEST, ShutRoom, ShutTest, shut_test
from pinset.services import cautions
from pinset.services.air.answer import Answer, Fact
from pinset.services.air.spoken import figure, figures, weight
from pinset.services.air.typed import Typed, at_its_field
from pinset.units import Quantity

CAUTIONS = ("co2", "spores")
FIELDS = {
    "CO2 readings": "readings",
    "CO2": "readings",
    "length of the test": "readings",
    "rise of the CO2": "readings",
    "free air of the room": "volume",
    "temperature": "temperature",
    "altitude": "altitude",
}
MEASURED = {
    "free": "Measure the room's air better: length, width and height, less what stands in it.",
    "leak": "Find what it leaks: open nothing, let the CO2 fall without blocks, or seal the door.",
    "span": "Check the sensor with a gas of known CO2, or in air outside and a second sensor.",
    "fit": "Log longer, or more often: the line through the readings is the weakest part.",
}
METHOD = (
    "G = V dC/dt: a straight line through the readings, with what had leaked out by then put back.",
    "Low and high: all corners of the line's 95 %, of the room's air, 5 % (own estimate),",
    "of 0 to 0.3 leaking air changes an hour (own estimate), a sensor 3 % wrong (common practice).",
)
_ACCEPTED = f"minutes and ppm on each line, {FEWEST} lines or more, such as 0 820"
_VOLUME_SURE = (0.95, 1.0, 1.05)


def vents_answer(form: Typed) -> Answer:
    """Return what a room gives off, by its readings with the vents shut.

    Raises
    ------
    InputError
        If something is missing or cannot be; its field is the one of the form.
    """
    try:
        minutes, ppm = read_readings(form.given("readings"))
        free = form.above("volume", Quantity.VOLUME)
        high = form.measure("altitude", Quantity.LENGTH) if form.given("altitude") else 0.0
        room = ShutRoom(
            Range(*(free * share for share in _VOLUME_SURE)),
            form.measure("temperature", Quantity.TEMPERATURE),
            form.ppm("outdoor-co2", 420.0),
            pressure_pa=pressure_at(high),
        )
        substrate = form.least("substrate", Quantity.MASS)
        return _answer(shut_test(minutes, ppm, room), substrate, max(ppm), form.system)
    except InputError as problem:
        raise at_its_field(problem, FIELDS) from None


def read_readings(text: str) -> tuple[list[float], list[float]]:
    """Return minutes and readings of CO2, from a line each.

    Raises
    ------
    InputError
        If a line is not two numbers.
    """
    if not text:
        raise InputError("readings", "", _ACCEPTED)
    minutes, ppm = [], []
    for line in text.splitlines():
        words = line.replace(";", " ").replace("\t", " ").replace(", ", " ").split()
        words = [word for word in words if word.lower() not in {"min", "ppm"}]
        if not words:
            continue
        try:
            when, read = (float(word.replace(",", ".")) for word in words)
        except ValueError:
            raise InputError("readings", line.strip()[:40], _ACCEPTED) from None
        minutes.append(when)
        ppm.append(read)
    return minutes, ppm


def _answer(found: ShutTest, substrate: float, most_ppm: float, system: str) -> Answer:
    low, _middle, high = (figure(end) for end in found.grams_h.ends)
    facts = [
        Fact("CO2 given off", figures(found.grams_h, "g/h")),
        Fact("Rise", figures(found.rise_ppm_h, "ppm an hour"), "95 % of the fit"),
    ]
    if substrate > 0.0:
        each = found.per_kg(substrate)
        facts.append(
            Fact("For each wet kg", figures(each, "g/h"), f"of {weight(substrate, system)}")
        )
    flags = []
    if most_ppm >= air_first_ppm():
        flags.append(f"It rose to {most_ppm:,.0f} ppm: air the room before anybody stays in it.")
    if found.bends:
        flags.append("The rise bends: the room leaks more than is said, or its air was not mixed.")
    moved = found.moved_by[0].name if found.moved_by else ""
    return Answer(
        sentence=f"This room gives off {figures(found.grams_h, 'g/h')} of CO2.",
        flags=tuple(flags),
        facts=tuple(facts),
        points=(f"Type {low}-{high} as measured CO2 on the page of the room.",),
        narrows=MEASURED.get(moved, ""),
        cautions=cautions.sentences(CAUTIONS),
        inputs=("Vents shut, circulation fan on, nobody inside: people breathe out CO2 as well.",),
        method=METHOD,
        ending="It holds for this room, what hangs in it and this day.",
    )
