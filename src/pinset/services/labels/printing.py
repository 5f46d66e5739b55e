"""Labels laid out on their paper, and a note of what was."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from pinset.chain.label_layouts import LabelLayout
from pinset.farm import label_store
from pinset.farm.label_store import PrintRow
from pinset.paper.labels.sheet import labels_pdf
from pinset.paper.labels.words import LabelWords
from pinset.services.clock import now_utc
from pinset.services.cooks.judge.paper import Printed
from pinset.services.labels.facts import LotFacts, facts_of
from pinset.services.labels.layouts import layout_of, likely_layout, next_place
from pinset.services.labels.wanted import (
    Wanted,
    all_labelled,
    checked,
    read_wanted,
    without_label,
)
from pinset.services.plans import planning_day
from pinset.services.words import plural

LONGEST_NAME = 4  # lots named in the name of the file


@dataclass(frozen=True, slots=True)
class LabelJob:
    """Labels to be laid out: which, on which paper, from which place on."""

    wanted: tuple[Wanted, ...]
    layout: LabelLayout
    skip: int = 0  # places of the first sheet used already
    is_numbered: bool = True
    is_trial: bool = False

    @property
    def labels(self) -> int:
        """How many labels."""
        return sum(each.count for each in self.wanted)

    @property
    def pages(self) -> int:
        """How many sheets, or labels of a roll."""
        return self.layout.pages(self.labels, self.skip)

    @property
    def next_place(self) -> int:
        """The first free place of the last sheet; 0 if it is full."""
        return (self.skip + self.labels) % self.layout.places

    @property
    def sentence(self) -> str:
        """What is printed, in words."""
        paper = "label" if self.layout.is_roll else "sheet"
        text = f"{plural(self.labels, 'label')} on {plural(self.pages, paper)}"
        if self.layout.is_roll:
            text = plural(self.labels, "label")
        left = self.next_place
        after = f"; the next free place is {left + 1}" if left and not self.layout.is_roll else ""
        return f"{text}{after}."


def label_job(
    typed: Sequence[str],
    layout: str = "",
    skip: int | None = None,
    *,
    count: int | None = None,
    is_numbered: bool = True,
    is_trial: bool = False,
    person: str = "",
    now: datetime | None = None,
) -> LabelJob:
    """Return the labels that are meant by lots, units or runs of units.

    A lot alone means its living units without a label; with ``count`` so many from there on.
    Without a layout or a place it is the paper used last, from its next free place on.

    Raises
    ------
    InputError, RefusedError
        If a code has a slip, there are no such units, all have a label, or the paper is unknown.
    """
    book, _ = planning_day.farm_book(now)
    read = [read_wanted(each) for each in typed]
    facts = [facts_of(code, book) for code, _, _ in read]
    wanted = tuple(
        _wanted(each, first, units, count, is_numbered=is_numbered)
        for each, (_, first, units) in zip(facts, read, strict=True)
    )
    paper = (
        layout_of(book, layout)
        if layout
        else likely_layout(book, person, {each.stage for each in facts})
    )
    place = next_place(person, paper) if skip is None else skip
    return LabelJob(wanted, paper, place, is_numbered, is_trial)


def _wanted(
    facts: LotFacts, first: int, units: int, count: int | None, *, is_numbered: bool
) -> Wanted:
    if not first:
        first, left = without_label([facts])[facts.lot]
        units = left if count is None else count
        if not units:
            raise all_labelled(facts)
    return checked(facts, first, units, is_numbered=is_numbered)


def on_paper(job: LabelJob, now: datetime | None = None) -> Printed:
    """Return labels as PDF; asked again it is the same to the byte while the lots stay as they are.

    Raises
    ------
    InputError
        If no label is wanted, too many are, or more places are used than a sheet has.
    """
    book, _ = planning_day.farm_book(now)
    labels: list[LabelWords] = []
    for each in job.wanted:
        labels += words_of(facts_of(each.lot, book), each, is_numbered=job.is_numbered)
    lots = [each.lot for each in job.wanted]
    name = "-".join((*lots[:LONGEST_NAME], *(["and-more"] if len(lots) > LONGEST_NAME else [])))
    data = labels_pdf(
        labels, job.layout, job.skip, title=f"Labels {', '.join(lots)}", is_trial=job.is_trial
    )
    return Printed(f"labels-{name}.pdf", data)


def words_of(facts: LotFacts, wanted: Wanted, *, is_numbered: bool) -> list[LabelWords]:
    """Return what stands on the labels of a lot, one after another."""
    units = range(wanted.first, wanted.first + wanted.count)
    return [
        LabelWords(f"{facts.lot}/{unit}" if is_numbered else facts.lot, facts.facts)
        for unit in units
    ]


def note_printed(job: LabelJob, tap: str, person: str = "", now: datetime | None = None) -> None:
    """Note what is printed, so that the next labels and the next free place are known.

    A trial is not noted. The same tap counts once.
    """
    if job.is_trial:
        return
    rows = [
        PrintRow(each.lot, each.first if job.is_numbered else 0, each.count) for each in job.wanted
    ]
    label_store.note(
        rows, job.layout.code, job.next_place, tap=tap, person=person, now=now or now_utc()
    )
