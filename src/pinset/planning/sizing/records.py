"""What the sizing of a farm is asked and gives back. All are frozen; units stand in brackets."""

from __future__ import annotations

from dataclasses import dataclass

from pinset.chain.stages import Stage

PICKED = "picked"


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is to leave the farm every week."""

    variety: str
    amount: float  # [g a week] of saleable mushrooms, or [units a week]
    step: str = PICKED  # or the step whose units are sold


@dataclass(frozen=True, slots=True)
class StepNeed:
    """One step that makes or buys units, in a steady week. Fractions are averages of weeks."""

    variety: str
    name: str  # of the variety
    step: str
    stage: Stage
    started: float  # [units a week] begun, or ordered
    usable: float  # [units a week] of them that become usable
    batches: float  # [a week]
    days: float  # [d] from the start until used, on average
    standing: float  # [units] under way and waiting, on the fullest weekday
    to_keep: int  # [units] whole: of a culture step with one in hand; 0: not a culture step
    vessel: str = ""
    is_purchase: bool = False
    supplier: str = ""
    delivered: float = 0.0  # [units] a delivery; of what is bought
    cost_cents: float = (
        0.0  # [hundredths a week] of what is bought, as far as the route has a price
    )


@dataclass(frozen=True, slots=True)
class CookLoad:
    """One kind of cook in a steady week."""

    kind: str
    litres: float  # [L a week]
    litres_each: float | None  # [L] of the largest steriliser that does it; None: none does
    cooks: float | None  # [a week] if every one were full
    whole_cooks: float | None  # [a week] a part load counted as a cook
    hours: float | None  # [h a week] of whole cooks
    would_do: float | None  # [L] a steriliser so large would just do, at the hours it has now


@dataclass(frozen=True, slots=True)
class ResourceNeed:
    """One of the farm's resources: what a week wants of it, and what there is."""

    key: str
    name: str
    unit: str  # of need and has
    need: float  # with whole units and batches
    in_proportion: float  # pure proportion, without them
    has: float | None = None  # None: not described, so not limited
    busiest: int | None = None  # weekday on which it is wanted most, Monday 0; None: spread evenly
    busiest_need: float = 0.0  # [as unit] on that day
    busiest_has: float = 0.0  # [as unit] on that day

    @property
    def is_short(self) -> bool:
        """Whether more is wanted than there is."""
        return self.has is not None and self.need > self.has * (1.0 + 1e-9)


@dataclass(frozen=True, slots=True)
class Full:
    """At which multiple of what is wanted a resource is full."""

    key: str
    name: str
    factor: float  # [-] below 1: it is too small already; 0: nothing of it is there


@dataclass(frozen=True, slots=True)
class Sizing:
    """How big a farm must be, reckoned for a steady week."""

    wanted: tuple[Wanted, ...]
    grams: float  # [g a week] of all varieties reckoned with
    steps: tuple[StepNeed, ...]
    cooks: tuple[CookLoad, ...]
    tasks: tuple[tuple[str, float], ...]  # what people's time goes into, [h a week]
    resources: tuple[ResourceNeed, ...]
    full: tuple[Full, ...]  # the first bottleneck first
    cook_days: int  # [d a week] on which sterilisers are loaded
    workplaces: float  # at the clean bench, on its busiest weekday
    bench_m: float  # [m] of clean bench for them
    store_g: float  # [g] of picked mushrooms in the cold store at the most
    remarks: tuple[str, ...]  # what could not be reckoned, in words

    def resource(self, key: str) -> ResourceNeed | None:
        """Return a resource by its key, or None."""
        return next((each for each in self.resources if each.key == key), None)
