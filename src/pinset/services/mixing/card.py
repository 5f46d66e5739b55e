"""The mixing card: what is weighed out for so many units, and what is in it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from pinset.errors import InputError
from pinset.science.air.ranges import Range
from pinset.science.mixing.batch import Batch, batch_for
from pinset.science.mixing.blend import Blend
from pinset.services import cautions
from pinset.services.mixing.aims import Aim, aim_of, aims
from pinset.services.mixing.asked import MixAsked, mix_of
from pinset.services.mixing.lines import (
    Costing,
    WeighLine,
    cautions_of,
    costing,
    fine_words,
    lines_of,
    weigh_out,
    weighed_batch,
)
from pinset.services.mixing.rows import not_measured
from pinset.services.mixing.weighed import Correction, correction
from pinset.services.mixing.words import nitrogen, percent, ratio, water
from pinset.units import Quantity, show

METHOD = (
    "Each ingredient is its share of the dry mass divided by one less its own moisture.",
    "Water is the rest of what is filled. A litre of it counts as 1 kg.",
    "Nitrogen and carbon are summed up and divided once: ratios of C to N are never averaged.",
    "Printed tables give nitrogen and C:N of different samples; here C:N is reckoned.",
    "Low and high are all ingredients at the low, or all at the high end of their nitrogen.",
    "An estimate from tables and today's moistures. What a mix does shows in the grow room.",
)


@dataclass(frozen=True, slots=True)
class MixCard:
    """A mixing card, in numbers and in the farm's words."""

    sentence: str  # what is weighed out
    nitrogen_said: str  # first
    ratio_said: str  # second
    aim: Aim | None  # the one that was chosen
    aims: tuple[Aim, ...]
    lines: tuple[WeighLine, ...]
    water_kg: float
    water: str
    counted: str
    units: int
    mass_kg: float
    mass: str
    moisture_at_filling: float
    moisture_after: Range
    moisture_said: str
    nitrogen: Range
    carbon_to_nitrogen: Range | None
    ash: float
    supplement: float
    dry_kg: float
    volume_m3: float | None
    volume: str  # empty where a bulk is not known
    measure_first: str
    too_fine: tuple[str, ...]
    costing: Costing | None
    remarks: tuple[str, ...]
    correction: Correction | None
    cautions: tuple[str, ...]
    inputs: tuple[str, ...]
    method: tuple[str, ...]


def mix_card(given: Mapping[str, str], system: str = "metric", currency: str = "") -> MixCard:
    """Return the mixing card of what was typed.

    Parameters
    ----------
    given : mapping of str to str
        By the names of :func:`pinset.services.mixing.asked.mix_of`; ``for`` is an aim; with
        ``weighed-1`` and so on, and ``water-in``, the card says what to do about what was really
        weighed.
    system : str
        ``metric`` or ``us``: how bare numbers count, and how weights are said.
    currency : str
        Before prices; may be empty.

    Raises
    ------
    InputError
        If something is not accepted or cannot be mixed; its field is the one it was typed into.

    Examples
    --------
    >>> card = mix_card({"what-1": "wheat-straw", "moisture-1": "10 %", "units": "10",
    ...     "fill": "10 kg", "moisture": "70 %", "step": "0.1 kg"})
    >>> card.lines[0].weight, card.water
    ('33.3 kg', '66.7 L')
    """
    asked = mix_of(given, system)
    exact = _batch(asked)
    batch = weighed_batch(exact, asked.filling)
    blend, filling = batch.blend, asked.filling
    lines = lines_of(batch, exact, asked.rows, filling, system, currency)
    found = aims(blend.nitrogen, blend.carbon_to_nitrogen)
    after = Range(*(min(blend.moisture_wet + end, 1.0) for end in filling.gain.ends))
    return MixCard(
        sentence=weigh_out(lines, batch, filling, system),
        nitrogen_said=nitrogen(blend.nitrogen),
        ratio_said=ratio(blend.carbon_to_nitrogen),
        aim=aim_of(given.get("for", "").strip(), found),
        aims=found,
        lines=lines,
        water_kg=batch.water_kg,
        water=water(batch.water_kg, filling.water_step_kg, system),
        counted=filling.counted,
        units=filling.units,
        mass_kg=blend.mass_kg,
        mass=show(Quantity.MASS, blend.mass_kg, system),
        moisture_at_filling=blend.moisture_wet,
        moisture_after=after,
        moisture_said=_moisture(blend, after, filling.gain),
        nitrogen=blend.nitrogen,
        carbon_to_nitrogen=blend.carbon_to_nitrogen,
        ash=blend.ash,
        supplement=blend.supplement,
        dry_kg=blend.dry_kg,
        volume_m3=blend.volume_m3,
        volume="" if blend.volume_m3 is None else show(Quantity.VOLUME, blend.volume_m3, system),
        measure_first=measure_first(blend),
        too_fine=fine_words(lines, filling, system),
        costing=costing(lines, filling, currency),
        remarks=_remarks(asked, lines, blend),
        correction=correction(asked, batch, given, system),
        cautions=cautions.sentences(cautions_of([row.key for row in asked.rows], blend.mass_kg)),
        inputs=_inputs(lines),
        method=METHOD,
    )


def measure_first(blend: Blend) -> str:
    """Return which single measurement narrows the nitrogen of a blend most; empty if none does."""
    if not blend.doubts:
        return ""
    worst = blend.doubts[0]
    return (
        f"An analysis of the nitrogen of your {worst.name} narrows it most: by itself it moves the "
        f"mix from {percent(worst.answer.low)} to {percent(worst.answer.high)} %."
    )


def _batch(asked: MixAsked) -> Batch:
    try:
        return batch_for(
            asked.parts,
            asked.filling.mass_kg,
            asked.filling.moisture_wet,
            steam_gain=asked.filling.gain.middle,
        )
    except InputError as problem:
        if problem.field != "moisture wanted":
            raise
        dry = sum(
            share / (1.0 - row.moisture_wet)
            for row, share in zip(asked.rows, asked.dry_shares, strict=True)
        )
        alone = 1.0 - 1.0 / dry + asked.filling.gain.middle
        wettest = max(asked.rows, key=lambda row: row.moisture_wet)
        raise InputError(
            "moisture",
            f"{percent(asked.filling.moisture_wet, 1)} %",
            f"{percent(alone, 1)} % or more: so wet it is without any water",
            f"Let the {wettest.name} dry, or take less of it.",
        ) from None


def _moisture(blend: Blend, after: Range, gain: Range) -> str:
    filled = f"{percent(blend.moisture_wet, 1)} %"
    if not gain.high:
        return filled
    ends = percent(after.low, 1), percent(after.high, 1)
    cooked = f"{ends[0]} %" if after.is_known else f"{ends[0]} to {ends[1]} %"
    return f"{filled} when it is filled, {cooked} after the cook"


def _remarks(asked: MixAsked, lines: tuple[WeighLine, ...], blend: Blend) -> tuple[str, ...]:
    found = [*not_measured(asked.rows)]
    found += [remark for row in asked.rows for remark in row.remarks]
    found += [
        f"{line.share} {line.name}: {line.usual}."
        for line, row in zip(lines, asked.rows, strict=True)
        if row.usual
    ]
    if any(row.key == "hardwood-pellets" for row in asked.rows):
        found.append("Pellets swell to about three times their volume when they are wetted.")
    if any(line.kg == 0 and share for line, share in zip(lines, asked.dry_shares, strict=True)):
        found.append("Something rounds to nothing on this scale.")
    filled = abs(blend.moisture_wet - asked.filling.at_filling)
    if filled > 0.01:  # noqa: PLR2004  (a point)
        found.append(
            "The scale is too coarse for this batch: rounded to its steps the mix is "
            f"{percent(blend.moisture_wet, 1)} % wet."
        )
    return tuple(found)


def _inputs(lines: tuple[WeighLine, ...]) -> tuple[str, ...]:
    return tuple(
        f"{line.name}: {line.share} of dry mass, moisture {line.moisture}; nitrogen by {line.known}"
        for line in lines
    )
