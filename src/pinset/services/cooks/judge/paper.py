"""The record of a judged cook, filled for paper."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from pinset.errors import RefusedError
from pinset.paper.cook_record import CookRecord, cook_pdf
from pinset.science.judging.records import WANTED_C
from pinset.services import cautions
from pinset.services.cooks.heat_lines import lines_of_verdict
from pinset.services.cooks.heat_ticks import DAY, clock
from pinset.services.cooks.heat_units import in_farm_units
from pinset.services.cooks.judge import verdicts as cook_verdicts
from pinset.services.cooks.judge.made import made_in_words
from pinset.services.cooks.judge.paper_chart import WHERE, paper_chart
from pinset.services.cooks.judge.verdicts import CookView, LimeLine, VerdictLine
from pinset.services.cooks.setting import setting_of
from pinset.services.frame import Frame, frame
from pinset.services.words import minutes_in_words
from pinset.units import Quantity, convert, show

VERDICTS = {"pass": "Long enough", "fail": "Too short", "unjudged": "Not judged"}
CLOSED = "F0 at 121.1 °C with z = {}, closed form between readings"
BAND = "band: if each probe reads wrong by its error all along"
ABOVE, HELD_AT = "above {limit}", "held at {wanted}"
HEADS = ("probe", "stood", "F0 [min]", "band", ABOVE, "highest", "come-up", HELD_AT, "error")
COME_UP, HELD = HEADS.index("come-up"), HEADS.index(HELD_AT)
LIME = ("lime", "not-proof")
WRITTEN_DOWN = "What somebody wrote down, not a proof."
COMPUTED = "A computation from temperatures, not a proof."
DOUBTFUL_BELOW_C, Z_K = 110.0, 10.0
F_PER_K = 1.8


@dataclass(frozen=True, slots=True)
class Printed:
    """A PDF and what it is called."""

    name: str
    data: bytes


def cook_record(code: str, paper: str = "a4") -> Printed:
    """Return the record of the verdict by which a cook stands as PDF.

    Raises
    ------
    RefusedError
        If there is no such cook, or it has no verdict that stands.
    InputError
        If the paper is neither a4 nor letter.

    Examples
    --------
    In a view::

        printed = cook_record("kettle-20260309-1030", "letter")
        answer = HttpResponse(printed.data, content_type="application/pdf")
    """
    view = cook_verdicts.cook_of(code)
    standing = view.standing
    if standing is None:
        raise RefusedError(f"Cook {code} is not judged yet.", "Judge it on the Heat page.")
    return Printed(f"cook-{code}.pdf", cook_pdf(_record(view, standing, frame()), paper))


def _record(view: CookView, standing: VerdictLine, farm: Frame) -> CookRecord:
    judged = standing.judged
    place = setting_of(view.line.steriliser, view.line.cook_kind)
    zone = ZoneInfo(farm.time_zone)
    lines = lines_of_verdict(judged, standing.log) if standing.log and judged else None
    wanted_c = float(judged.get("wanted_c", WANTED_C))
    heads, probes = _probes(judged.get("probes", ()), wanted_c, farm.units)
    day = lines is not None and judged.get("minutes", 0.0) > DAY
    moments: list[tuple[str, str]] = []
    if lines and lines.enough_min is not None:
        moments.append(("Enough from", _clock(lines.enough_min, lines.started, zone, day)))
    if lines and lines.held_min is not None:
        begin, end = (_clock(each, lines.started, zone, day) for each in lines.held_min)
        moments.append(("Longest hold", f"{begin} to {end} in the slowest core"))
    return CookRecord(
        title=f"Cook {view.line.cook}",
        subtitle=f"{farm.name}. {view.line.cook_kind.capitalize()} in {place.steriliser}, "
        f"{_moment(view.line.at, zone)}",
        verdict=VERDICTS.get(standing.verdict, standing.verdict)
        + (", judged by hand without a log" if standing.by_hand else ""),
        sentence=in_farm_units(standing.sentence, farm.units),
        facts=(
            ("Units", str(view.line.units)),
            ("Hold, as read off", minutes_in_words(view.hold_minutes)),
            *moments,
            *([("Log counts because", standing.reason)] if standing.reason else []),
            *([("Lime, how measured", standing.bath.note)] if standing.bath else []),
            *(
                [("Earlier one set aside because", standing.aside_because)]
                if standing.aside_because
                else []
            ),
            ("Loaded by", view.done_by),
            ("Judged by", f"{standing.by or 'not said'}, {_moment(standing.at, zone)}"),
            ("Vessels", ", ".join(view.line.lots)),
            ("Made in them", made_in_words(view, zone)),
        ),
        probe_heads=heads,
        probes=probes,
        remarks=_remarks(judged, farm.units),
        inputs=_of_bath(standing.bath) if standing.bath else _inputs(judged, farm.units, zone),
        cautions=cautions.sentences(
            LIME if standing.bath else judged.get("cautions") or ("not-proof",)
        ),
        foot=f"{WRITTEN_DOWN if standing.bath or not judged else COMPUTED} Written by pinset.",
        chart=paper_chart(lines, farm.units, zone) if lines else None,
        others=_others(view, standing, farm.units, zone),
    )


def _others(
    view: CookView, standing: VerdictLine, units: str, zone: ZoneInfo
) -> tuple[tuple[str, str], ...]:
    """Return the other verdicts on the cook, the newest first: when, by which log, what it said."""
    return tuple(
        (_moment(each.at, zone), _other(view, each, units))
        for each in view.verdicts
        if each.entry != standing.entry
    )


def _other(view: CookView, each: VerdictLine, units: str) -> str:
    by = f"{each.log_name or 'a log without a name'}, SHA-256 {each.log[:12]}" if each.log else ""
    who = f"judged by {each.by}" if each.by else ""
    state = "Taken back." if each.taken_back else view.why_not(each) or "Counts."
    why = f"Reason: {each.reason}." if each.reason else ""
    if each.aside_because:
        why = f"{why} Counts against an earlier one because: {each.aside_because}.".strip()
    head = ", ".join(part for part in (each.words, by, who) if part)
    return " ".join(
        part for part in (f"{head}.", state, in_farm_units(each.sentence, units), why) if part
    )


def _moment(at: datetime, zone: ZoneInfo) -> str:
    return f"{at.astimezone(zone):%Y-%m-%d %H:%M}"


def _clock(minute: float, started: str, zone: ZoneInfo, with_day: bool) -> str:  # noqa: FBT001
    moment = clock(minute, started, zone)
    if moment is None:
        return f"{minute:.0f} min"
    return f"{moment:%Y-%m-%d %H:%M}" if with_day else f"{moment:%H:%M}"


def _probes(
    probes: Sequence[Mapping[str, Any]], wanted_c: float, units: str
) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    """Return heads and rows of the table; older verdicts may have no come-up and no hold."""
    limit = show(Quantity.TEMPERATURE, DOUBTFUL_BELOW_C, units)
    wanted = show(Quantity.TEMPERATURE, wanted_c, units)
    heads = tuple(each.format(limit=limit, wanted=wanted) for each in HEADS)
    rows = [heads, *(_probe(each, units) for each in probes)]
    if all(each["hold_min"] is None for each in probes):
        rows = [(*row[:COME_UP], *row[HELD + 1 :]) for row in rows]
    return rows[0], tuple(rows[1:])


def _probe(probe: Mapping[str, Any], units: str) -> tuple[str, ...]:
    error = f"± {_difference(probe['error_k'], units)}"
    note = probe["error_note"]
    held, come_up = probe["hold_min"], probe["come_up_min"]
    return (
        str(probe["name"]),
        WHERE.get(probe["role"], str(probe["role"])),
        f"{probe['f0_min']:.1f}",
        f"{probe['f0_low']:.1f} to {probe['f0_high']:.1f}",
        f"{probe['f0_above_110_min']:.1f}",
        show(Quantity.TEMPERATURE, probe["max_c"], units),
        "never" if come_up is None else minutes_in_words(come_up),
        "" if held is None else minutes_in_words(held),
        f"{error}, {note}" if note else error,
    )


def _difference(kelvin: float, units: str, sign: str = "") -> str:
    """Return a difference of temperatures in the farm's degrees."""
    if units == "us":
        return f"{kelvin * F_PER_K:{sign}.1f} °F"
    return f"{kelvin:{sign}.1f} K"


def _remarks(judged: Mapping[str, Any], units: str) -> tuple[str, ...]:
    said = []
    steam = judged.get("steam")
    if steam:
        pure = "Pure steam" if steam["is_steam"] else "Not pure steam"
        lowest, highest = (
            _difference(steam[each], units, "+") for each in ("lowest_k", "highest_k")
        )
        said.append(
            f"{pure} while it held: {lowest} to {highest} off the saturation line over "
            f"{minutes_in_words(steam['checked_min'])}."
        )
    said += [
        in_farm_units(f"{each['record']}: {each['sentence']} {each['hint']}".strip(), units)
        for each in judged.get("findings", ())
    ]
    return tuple(said)


def _inputs(judged: Mapping[str, Any], units: str, zone: ZoneInfo) -> tuple[tuple[str, str], ...]:
    if not judged.get("probes"):
        return (("Log", "none"),)
    altitude = f"{judged['altitude_m']:.0f} m"
    if units == "us":
        altitude = f"{convert(Quantity.LENGTH, judged['altitude_m'], 'ft'):.0f} ft"
    lasted = minutes_in_words(judged["minutes"])
    closed = in_farm_units(CLOSED.format(_difference(Z_K, units)), units)
    return (
        ("Rule", in_farm_units(judged["rule"], units) or "none"),
        ("Method", f"{judged['method']}; {closed}; {BAND}"),
        ("Log", f"{judged['file']}, {judged['readings']} readings over {lasted}"),
        ("SHA-256", judged["digest"]),
        ("Begins", _begins(judged["started"], zone)),
        ("Altitude", altitude),
        ("Read as", _read_as(judged["layout"])),
    )


def _of_bath(bath: LimeLine) -> tuple[tuple[str, str], ...]:
    return (
        ("The farm's rule", bath.rule or "none"),
        ("Method", "Hours and pH, measured by hand. No lethality is reckoned."),
        ("Log", "none"),
    )


def _read_as(layout: Sequence[Mapping[str, Any]]) -> str:
    """Return how the file was read: one statement for each thing, and one for each column."""
    said: dict[str, str] = {}
    for line in layout:
        if not line["value"]:
            continue
        value = _plain(line["value"]) + (" (said by hand)" if line["sure"] == "given" else "")
        if line["key"].startswith("column."):
            column = line["key"].rpartition(".")[0]
            if column not in said:
                said[column] = f"{line['label'].removesuffix(' holds')}: {value}"
            else:
                said[column] += f", {value}"
        else:
            said[line["key"]] = f"{line['label']}: {value}"
    return "; ".join(said.values())


def _plain(value: str) -> str:
    """Return a sign between quotation marks, a word as it is."""
    if value == "\t":
        return "tab"
    return value if any(each.isalnum() for each in value) else f"“{value}”"


def _begins(started: str, zone: ZoneInfo) -> str:
    if not started:
        return "not said in the file"
    begin = datetime.fromisoformat(started)
    if begin.tzinfo is None:
        return f"{begin:%Y-%m-%d %H:%M:%S} by the logger's own clock"
    return f"{begin.astimezone(zone):%Y-%m-%d %H:%M:%S}, {zone.key}"
