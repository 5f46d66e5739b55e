"""The record of a judged cook, filled for paper."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from pinset.errors import RefusedError
from pinset.paper.cook_record import CookRecord, PaperChart, PaperLine, cook_pdf
from pinset.services import cautions, cook_verdicts
from pinset.services.cook_setting import setting_of
from pinset.services.cook_verdicts import CookView, VerdictLine
from pinset.services.frame import Frame, frame
from pinset.services.heat_lines import HeatLines, lines_of_verdict
from pinset.services.words import minutes_in_words
from pinset.units import Quantity, convert, show

VERDICTS = {"pass": "Long enough", "fail": "Too short", "unjudged": "Not judged"}
WHERE = {"core": "in a unit", "chamber": "chamber", "other": "elsewhere", "steam": "steam"}
DASHES = {"chamber": (6, 3), "steam": (1, 2), "other": (3, 3)}
STEPS = (10, 30, 60, 120, 240, 480, 1440)
MOST_TICKS = 8
HIGH_C = 130.0
CLOSED = "F0 at 121.1 °C with z = 10 K, closed form between readings"
HEADS = ("probe", "stood", "F0 [min]", "band", "above 110 °C", "highest", "held", "error")


@dataclass(frozen=True, slots=True)
class Printed:
    """A PDF and what it is called."""

    name: str
    data: bytes


def cook_record(code: str, paper: str = "a4") -> Printed:
    """Return the record of a cook's newest verdict as PDF.

    Raises
    ------
    RefusedError
        If there is no such cook, or it has no verdict that stands.
    InputError
        If the paper is neither a4 nor letter.
    """
    view = cook_verdicts.cook_of(code)
    standing = next((each for each in view.verdicts if not each.taken_back), None)
    if standing is None:
        raise RefusedError(f"Cook {code} is not judged yet.", "Judge it on the Heat page.")
    return Printed(f"cook-{code}.pdf", cook_pdf(_record(view, standing, frame()), paper))


def _record(view: CookView, standing: VerdictLine, farm: Frame) -> CookRecord:
    judged = standing.judged
    place = setting_of(view.line.steriliser, view.line.cook_kind)
    zone = ZoneInfo(farm.time_zone)
    lines = lines_of_verdict(judged, standing.log) if standing.log and judged else None
    return CookRecord(
        title=f"Cook {view.line.cook}",
        subtitle=f"{farm.name}. {view.line.cook_kind} in {place.steriliser}, "
        f"{_moment(view.line.at, zone)}",
        verdict=VERDICTS.get(standing.verdict, standing.verdict)
        + (", judged by hand without a log" if standing.by_hand else ""),
        sentence=standing.sentence,
        facts=(
            ("Units", str(view.line.units)),
            ("Hold, as read off", minutes_in_words(view.hold_minutes)),
            ("Loaded by", view.done_by),
            ("Judged by", f"{standing.by}, {_moment(standing.at, zone)}"),
            ("Vessels", ", ".join(view.line.lots)),
            ("Made in them", ", ".join(lot.lot for lot in view.inoculated)),
        ),
        probe_heads=HEADS,
        probes=tuple(_probe(each, farm.units) for each in judged.get("probes", ())),
        remarks=_remarks(judged),
        inputs=_inputs(judged, farm.units),
        cautions=cautions.sentences(judged.get("cautions") or ("not-proof",)),
        foot="A computation from temperatures, not a proof. Written by pinset.",
        chart=_chart(lines, farm.units, zone) if lines and lines.lines else None,
    )


def _moment(at: datetime, zone: ZoneInfo) -> str:
    return f"{at.astimezone(zone):%Y-%m-%d %H:%M}"


def _probe(probe: Mapping[str, Any], units: str) -> tuple[str, ...]:
    error = f"± {probe['error_k']:.1f} K"
    note = probe["error_note"]
    held = probe["hold_min"]
    return (
        str(probe["name"]),
        WHERE.get(probe["role"], str(probe["role"])),
        f"{probe['f0_min']:.1f}",
        f"{probe['f0_low']:.1f} to {probe['f0_high']:.1f}",
        f"{probe['f0_above_110_min']:.1f}",
        show(Quantity.TEMPERATURE, probe["max_c"], units),
        "" if held is None else minutes_in_words(held),
        f"{error}, {note}" if note else error,
    )


def _remarks(judged: Mapping[str, Any]) -> tuple[str, ...]:
    said = []
    steam = judged.get("steam")
    if steam:
        pure = "Pure steam" if steam["is_steam"] else "Not pure steam"
        said.append(
            f"{pure} while it held: {steam['lowest_k']:+.1f} to {steam['highest_k']:+.1f} K off "
            f"the saturation line over {minutes_in_words(steam['checked_min'])}."
        )
    said += [
        f"{each['record']}: {each['sentence']} {each['hint']}".strip()
        for each in judged.get("findings", ())
    ]
    return tuple(said)


def _inputs(judged: Mapping[str, Any], units: str) -> tuple[tuple[str, str], ...]:
    if not judged.get("probes"):
        return (("Log", "none"),)
    read_as = ", ".join(
        f"{line['label']}: {line['value']}" + (" (said by hand)" if line["sure"] == "given" else "")
        for line in judged["layout"]
        if line["value"]
    )
    altitude = f"{judged['altitude_m']:.0f} m"
    if units == "us":
        altitude = f"{convert(Quantity.LENGTH, judged['altitude_m'], 'ft'):.0f} ft"
    lasted = minutes_in_words(judged["minutes"])
    return (
        ("Rule", judged["rule"] or "none"),
        ("Method", f"{judged['method']}; {CLOSED}"),
        ("Log", f"{judged['file']}, {judged['readings']} readings over {lasted}"),
        ("SHA-256", judged["digest"]),
        ("Begins", judged["started"] or "not said in the file"),
        ("Altitude", altitude),
        ("Read as", read_as),
    )


def _chart(lines: HeatLines, units: str, zone: ZoneInfo) -> PaperChart:
    unit = "°F" if units == "us" else "°C"

    def shown(celsius: float) -> float:
        return convert(Quantity.TEMPERATURE, celsius, unit)

    points = [point for line in lines.lines for piece in line.pieces for point in piece]
    end = max(minute for minute, _ in points)
    high = min(max(celsius for _, celsius in points), HIGH_C) + 4.0
    marks = (50, 100, 150, 200, 250) if units == "us" else (20, 40, 60, 80, 100, 121)
    most = max((rate for piece in lines.killing for _, rate in piece), default=0.0)
    step = next((each for each in STEPS if end / each <= MOST_TICKS), STEPS[-1])
    begin = datetime.fromisoformat(lines.started) if lines.started else None
    if begin is not None and begin.tzinfo is not None:
        begin = begin.astimezone(zone)
    return PaperChart(
        lines=tuple(
            PaperLine(
                line.name or WHERE.get(line.role, line.role),
                tuple(tuple((m, shown(min(c, high))) for m, c in each) for each in line.pieces),
                line.is_ruling,
                () if line.is_ruling else DASHES.get(line.role, DASHES["other"]),
            )
            for line in lines.lines
        ),
        killing=tuple(
            tuple((m, rate / most) for m, rate in piece)
            for piece in lines.killing
            if most > 0.0 and len(piece) > 1
        ),
        enough_min=lines.enough_min,
        across=tuple(_tick(number * step, begin) for number in range(int(end / step) + 1)),
        up=tuple((float(mark), f"{mark} {unit}") for mark in marks if mark < shown(high)),
        end_min=end,
        low=shown(0.0),
        high=shown(high),
    )


def _tick(minute: int, begin: datetime | None) -> tuple[float, str]:
    if begin is None:
        return float(minute), f"{minute} min"
    hours, rest = divmod(begin.hour * 60 + begin.minute + minute, 60)
    return float(minute), f"{hours % 24:02}:{rest:02}"
