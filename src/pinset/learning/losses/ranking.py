"""Which suspects stand out, with what was seen on the lost units counted in.

Two kinds of evidence are added as what they are, logarithms of how much likelier the records are if
this suspect raises losses: the fit's, and that of signs which point to one kind of cause. What
comes out is an order to look into things, never a verdict.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import exp, log, sqrt

from scipy.special import ndtr, ndtri

from pinset.chain.histories import GOES_ON, LotHistory, Shared
from pinset.learning.incidence.report import RAISED, RANGE, Confused, Suspect
from pinset.learning.losses.told import WORK

SIGN_ODDS = 3.0
"""How much likelier a sign that points to a kind of cause is under it than under another; assumed,
no source, and low: a sign is a glance, not a laboratory's finding."""

MOST_SIGN_ODDS = 20.0
"""What all signs together may say."""

SHORT_LIST = 7
WORTH_NAMING = 0.5
"""Chance that losses are raised by half or more, from which on a suspect is named."""


ALIKE = 0.8
"""Two suspects that share so many of all lots behind either cannot be told apart by counting."""


@dataclass(frozen=True, slots=True)
class Alike:
    """Another suspect that stands behind nearly the same lots."""

    kind: Shared
    level: str
    shared_lots: int
    lots: int  # of the other
    ratio: float  # its own


@dataclass(frozen=True, slots=True)
class Ranked:
    """A suspect with what speaks for it."""

    suspect: Suspect
    kind: Shared
    by_counts: float  # log of how much likelier the counts are with it than without, below 0: not
    by_signs: float  # likewise of signs
    signs_for: int  # lots whose signs point to its kind
    signs_against: int  # lots whose signs point to another kind
    confused_with: tuple[Confused, ...] = ()
    alike: tuple[Alike, ...] = ()

    @property
    def together(self) -> float:
        """Both kinds of evidence, added."""
        return self.by_counts + self.by_signs

    @property
    def stands_out(self) -> bool:
        """Whether it is worth naming."""
        return self.suspect.raised >= WORTH_NAMING


def by_counts(suspect: Suspect) -> float:
    """Return the log of how much likelier the counts are at the fitted effect than at none.

    Half the squared distance in standard deviations, as for a normal likelihood; below 0 where
    the suspect lowers losses.
    """
    distance = suspect.mean / suspect.sd if suspect.sd > 0.0 else 0.0
    return 0.5 * distance * abs(distance)


def recentred(suspects: Sequence[Suspect]) -> tuple[Suspect, ...]:
    """Return suspects of the kinds that go on, held against the usual of their own kind.

    Nearly every lot has a line, a person and a shelf, and there are few of each: what all levels
    have in common cannot be told from the farm's own level. So each is held against the mean of
    its kind, weighted by vessels, and what it cost is what it lost beyond that.
    """
    found = []
    for suspect in suspects:
        if suspect.factor not in GOES_ON:
            found.append(suspect)
            continue
        alike = [each for each in suspects if each.factor == suspect.factor and each.vessels]
        whole = sum(each.vessels for each in alike)
        shift = sum(each.mean * each.vessels for each in alike) / whole if whole else 0.0
        mean = suspect.mean - shift
        times = exp(-shift)
        found.append(
            replace(
                suspect,
                mean=mean,
                ratio=suspect.ratio * times,
                low=suspect.low * times,
                high=suspect.high * times,
                raised=float(ndtr((mean - log(RAISED)) / suspect.sd)),
                excess=suspect.lost * (1.0 - exp(-mean)),
            )
        )
    return tuple(found)


PREDICTED_SD = 0.7
"""How far a prediction of physics may be off, as the logarithm's standard deviation; assumed, no
source, and what the benchmark draws (docs/decisions/0021-losses.md)."""


def with_doubtful_predictions(
    suspects: Sequence[Suspect], spreads: Mapping[str, float]
) -> tuple[Suspect, ...]:
    """Return suspects with the doubt of what physics predicted of them in their ranges.

    Parameters
    ----------
    suspects : sequence of Suspect
        As the fit tells them, which takes a prediction as sure but for how much levels differ.
    spreads : mapping of str to float
        By factor, the standard deviation between levels that the fit found.

    Notes
    -----
    What counts say of a level by itself is taken back out of its posterior, and put together with
    a prior that is wider by the error of the prediction.
    """
    return tuple(
        _doubted(each, spreads[each.factor]) if each.expected and each.factor in spreads else each
        for each in suspects
    )


def _doubted(suspect: Suspect, spread: float) -> Suspect:
    narrow, wide = spread**2, spread**2 + PREDICTED_SD**2
    told = max(0.0, 1.0 / suspect.sd**2 - 1.0 / narrow)  # by the counts alone
    if told * narrow < 1e-6:  # noqa: PLR2004 - nothing
        mean, sd = suspect.expected, sqrt(wide)
    else:
        off = (suspect.mean - suspect.expected) * (1.0 + told * narrow) / (told * narrow)
        mean = suspect.expected + off * told * wide / (1.0 + told * wide)
        sd = sqrt(wide / (1.0 + told * wide))
    tail = float(ndtri((1.0 + RANGE) / 2.0))
    return replace(
        suspect,
        mean=mean,
        sd=sd,
        ratio=exp(mean),
        low=exp(mean - tail * sd),
        high=exp(mean + tail * sd),
        raised=float(ndtr((mean - log(RAISED)) / sd)),
        excess=suspect.lost * (1.0 - exp(-mean)),
    )


def ranked(
    suspects: Iterable[Suspect],
    confused: Sequence[Confused],
    lots: Iterable[LotHistory],
    pointing: Mapping[str, frozenset[Shared]],
) -> tuple[Ranked, ...]:
    """Return all suspects, what stands out most first.

    Parameters
    ----------
    suspects, confused
        As the report of a fit has them.
    lots : iterable of LotHistory
        Of the fit.
    pointing : mapping of str to frozenset of Shared
        By lot, the kinds of cause that signs seen on it point to; lots without a telling sign are
        left out.
    """
    told: defaultdict[tuple[Shared, str], list[int]] = defaultdict(lambda: [0, 0])
    for lot in lots:
        kinds = pointing.get(lot.lot)
        if kinds:
            for kind, level in lot.shared.items():
                told[kind, level][kind not in kinds] += 1
    mixed: defaultdict[tuple[str, str], list[Confused]] = defaultdict(list)
    for pair in confused:
        mixed[pair.factor, pair.level].append(pair)
        mixed[pair.other_factor, pair.other_level].append(pair)
    most = log(MOST_SIGN_ODDS)
    found = []
    for suspect in suspects:
        if suspect.factor == WORK:
            continue
        kind = Shared(suspect.factor)
        for_it, against = told.get((kind, suspect.level), (0, 0))
        signs = max(-most, min(most, (for_it - against) * log(SIGN_ODDS)))
        found.append(
            Ranked(
                suspect=suspect,
                kind=kind,
                by_counts=by_counts(suspect),
                by_signs=signs,
                signs_for=for_it,
                signs_against=against,
                confused_with=tuple(mixed[suspect.factor, suspect.level]),
            )
        )
    return tuple(sorted(found, key=lambda each: (-each.together, each.suspect.level)))


def short_list(found: Sequence[Ranked], most: int = SHORT_LIST) -> tuple[Ranked, ...]:
    """Return the few that stand out, in their order."""
    return tuple(each for each in found if each.stands_out)[:most]


def costliest(found: Sequence[Ranked], most: int = 3) -> tuple[Ranked, ...]:
    """Return those that cost most units, whether or not they stand out; only what costs one."""
    by_cost = sorted(found, key=lambda each: -each.suspect.excess)
    return tuple(each for each in by_cost[:most] if each.suspect.excess >= 1.0)


def with_alike(
    found: Sequence[Ranked], everything: Iterable[Ranked], lots: Iterable[LotHistory]
) -> tuple[Ranked, ...]:
    """Return suspects with those that stand behind nearly the same lots, the most alike first.

    Parameters
    ----------
    found : sequence of Ranked
        The suspects asked of.
    everything : iterable of Ranked
        All suspects, themselves among them.
    lots : iterable of LotHistory
        Of the fit; those nobody looked at do not count.
    """
    behind: defaultdict[tuple[Shared, str], set[str]] = defaultdict(set)
    of_lot: dict[str, LotHistory] = {}
    for lot in lots:
        if lot.seen:
            of_lot[lot.lot] = lot
            for kind, level in lot.shared.items():
                behind[kind, level].add(lot.lot)
    ratios = {(each.kind, each.suspect.level): each.suspect.ratio for each in everything}
    named = []
    for each in found:
        own = behind[each.kind, each.suspect.level]
        others = {
            (kind, level)
            for lot in own
            for kind, level in of_lot[lot].shared.items()
            if kind is not each.kind
        }
        alike = [
            Alike(kind, level, len(own & its), len(its), ratios.get((kind, level), 1.0))
            for kind, level in others
            for its in (behind[kind, level],)
            if len(own & its) >= ALIKE * len(own | its)
        ]
        alike.sort(key=lambda other: (-other.shared_lots, other.kind.value, other.level))
        named.append(replace(each, alike=tuple(alike)))
    return tuple(named)
