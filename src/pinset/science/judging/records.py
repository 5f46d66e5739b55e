"""What a cook is judged by and what comes out: probes, the farm's rule, what each probe says."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from numpy import float64
from numpy.typing import NDArray

from pinset.errors import Finding, InputError
from pinset.science.steam.check import SteamCheck

Values = NDArray[float64]

MOST_MINUTES = 10_000.0
LEAST_HOLD_C, MOST_HOLD_C = 40.0, 140.0
WANTED_C = 121.1  # that F0 counts by; come-up and hold are told by it where no hold is asked for
UNKNOWN_ERROR_K = 0.5  # of a probe whose error nobody has written down


class Role(StrEnum):
    """Where a probe stood."""

    CORE = "core"  # in the middle of a unit
    CHAMBER = "chamber"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class OffCentre:
    """How far off the middle of its unit a core's probe stood."""

    mm: float  # 0: in the middle
    half_mm: float | None = None  # from the middle to the nearest face; None: nobody said


@dataclass(frozen=True, slots=True)
class Probe:
    """One probe's readings; NaN where it gave none."""

    name: str
    role: Role
    temperature_c: Values
    error_k: float = UNKNOWN_ERROR_K  # largest error either way, half a step of its readings in it
    step_k: float = 0.0  # by which its readings go; 0: finely
    is_error_known: bool = False
    is_role_said: bool = False  # somebody said where it stood
    is_filled_warm: bool = False  # somebody said that it stood in a load warmer than the room
    doubt: str = ""  # what speaks against its readings; a core in doubt passes nothing
    off: OffCentre | None = None  # of a core; None: nobody said where in the unit it stood
    fine: str = ""  # why it was fine all the same, as somebody said
    although: str = ""  # what spoke against it in the file, before that was said
    hangs_on: str = ""  # how it is known that it stood in a unit, where the file does not name it


@dataclass(frozen=True, slots=True)
class Rule:
    """What a farm asks of its cooks; what is None is not asked."""

    f0: float | None = None  # least F0 (121.1 degC, 10 K) of the slowest core [min]
    hold_c: float | None = None  # every core at this or above ... [degC]
    hold_minutes: float | None = None  # ... for so long without falling below

    def __post_init__(self) -> None:
        """Refuse a rule that asks for nothing, or for nonsense."""
        if self.f0 is None and self.hold_minutes is None:
            raise InputError("rule", "nothing", "f0=MINUTES or hold=DEGREES/MINUTES")
        if (self.hold_c is None) is not (self.hold_minutes is None):
            raise InputError("hold", "one of two", "a temperature and how long")
        for name in ("f0", "hold_minutes"):
            value = getattr(self, name)
            if value is not None and not 0.0 < value <= MOST_MINUTES:
                raise InputError(name, value, f"above 0 to {MOST_MINUTES:g} min")
        if self.hold_c is not None and not LEAST_HOLD_C <= self.hold_c <= MOST_HOLD_C:
            raise InputError("hold_c", self.hold_c, f"{LEAST_HOLD_C:g} to {MOST_HOLD_C:g} degC")

    def is_short(self, f0: float, hold_min: float | None) -> bool:
        """Return True if so much F0, and so long a hold, both in min, are too little."""
        too_little = self.f0 is not None and f0 < self.f0
        too_brief = self.hold_minutes is not None and (hold_min or 0.0) < self.hold_minutes
        return too_little or too_brief

    @property
    def wanted_c(self) -> float:
        """The temperature by which come-up and hold are told: of its hold, else 121.1 degC."""
        return WANTED_C if self.hold_c is None else self.hold_c

    @property
    def hold_in_words(self) -> str:
        """The hold's temperature to a tenth, as 250 °F is 121.1 °C; empty: none is asked for."""
        return "" if self.hold_c is None else f"{round(self.hold_c, 1):g} °C"


class Verdict(StrEnum):
    """What a cook is held for."""

    PASS = "pass"  # noqa: S105  (no password)
    FAIL = "fail"
    UNJUDGED = "unjudged"


@dataclass(frozen=True, slots=True)
class Position:
    """What one probe says."""

    name: str
    role: Role
    f0_min: float
    f0_low: float  # if the probe reads too high by its error
    f0_high: float
    f0_above_110_min: float
    max_c: float
    come_up_min: float | None  # from the first reading to what is wanted, None: never there
    hold_min: float  # longest time at what is wanted or hotter: the rule's hold, or 121.1 degC
    hold_low: float | None  # if the probe reads too high by its error, or scatter hides dips
    hold_high: float | None
    error_k: float
    falls_short: bool | None  # None: no rule, not a core, or not to be told (see ``unclear``)
    is_off: bool = False  # its probe stood off the middle, which is in ``f0_low``
    unclear: str = ""  # why a core can be neither passed nor failed


@dataclass(frozen=True, slots=True)
class Judgement:
    """What a log says of a cook."""

    verdict: Verdict
    sentence: str
    slowest: str  # name of the core that decides; empty: none
    positions: tuple[Position, ...]
    steam: SteamCheck | None
    findings: tuple[Finding, ...]
