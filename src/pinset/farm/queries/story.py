"""What happened: the life of a lot, the answers to a job, the work of a person."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from pinset.farm.models import Entry, Link, Lot, Mention, Note, Posting
from pinset.farm.whereabouts import entry_known

COUNTED = ("alive", "unexplained")
"""Accounts of units that a count by hand speaks of."""


@dataclass(frozen=True, slots=True)
class Moved:
    """One posting, read back."""

    lot: str
    account: str
    place: str
    measure: str
    quantity: int


@dataclass(frozen=True, slots=True)
class Spoken:
    """One mention, read back."""

    lot: str
    role: str
    place: str
    count: int
    value: str


@dataclass(frozen=True, slots=True)
class Happened:
    """One entry, read back."""

    number: int
    client_id: str
    kind: str
    happened_at: datetime
    recorded_at: datetime
    person: str  # code
    person_name: str
    job: str
    details: dict[str, Any]
    note: str
    is_corrected: bool
    corrects: str  # client id
    lots_made: tuple[str, ...]
    postings: tuple[Moved, ...]
    mentions: tuple[Spoken, ...]
    links: tuple[tuple[str, str, int], ...]  # parent, child, units

    @property
    def stands(self) -> bool:
        """Whether it still holds: neither taken back nor itself a taking back."""
        return not self.is_corrected and not self.corrects

    def total(self, account: str, measure: str = "unit") -> int:
        """Return what came into an account, over all lots."""
        return sum(
            p.quantity for p in self.postings if p.account == account and p.measure == measure
        )


def read(entries: Sequence[Entry]) -> tuple[Happened, ...]:
    """Return entries with everything that belongs to them, in the order given."""
    numbers = [entry.pk for entry in entries]
    postings: defaultdict[int, list[Moved]] = defaultdict(list)
    for number, lot, account, place, measure, quantity in (
        Posting.objects.filter(entry_id__in=numbers)
        .order_by("id")
        .values_list("entry_id", "lot__code", "account", "place__code", "measure", "quantity")
    ):
        postings[number].append(Moved(lot, account, place, measure, quantity))
    mentions: defaultdict[int, list[Spoken]] = defaultdict(list)
    for number, lot, role, place, count, value in (
        Mention.objects.filter(entry_id__in=numbers)
        .order_by("id")
        .values_list("entry_id", "lot__code", "role", "place__code", "count", "value")
    ):
        mentions[number].append(Spoken(lot, role, place, count, value))
    links: defaultdict[int, list[tuple[str, str, int]]] = defaultdict(list)
    for number, parent, child, units in (
        Link.objects.filter(entry_id__in=numbers)
        .order_by("id")
        .values_list("entry_id", "parent__code", "child__code", "units")
    ):
        links[number].append((parent, child, units))
    made: defaultdict[int, list[str]] = defaultdict(list)
    lots = Lot.objects.filter(made_by_id__in=numbers).order_by("id")
    for maker, code in lots.values_list("made_by_id", "code"):
        if maker is not None:
            made[maker].append(code)
    digests = [entry.note for entry in entries if entry.note]
    notes = dict(Note.objects.filter(digest__in=digests).values_list("digest", "text"))
    return tuple(
        Happened(
            number=entry.pk,
            client_id=entry.client_id,
            kind=entry.kind,
            happened_at=entry.happened_at,
            recorded_at=entry.recorded_at,
            person=entry.person.code if entry.person else "",
            person_name=str(entry.person) if entry.person else "",
            job=entry.job,
            details=entry.details,
            note=notes.get(entry.note, ""),
            is_corrected=entry.is_corrected,
            corrects=entry.corrects_client,
            lots_made=tuple(made[entry.pk]),
            postings=tuple(postings[entry.pk]),
            mentions=tuple(mentions[entry.pk]),
            links=tuple(links[entry.pk]),
        )
        for entry in entries
    )


def life(code: str) -> tuple[Happened, ...]:
    """Return everything that was ever written about a lot, in the order in which it happened."""
    lot = Lot.objects.filter(code=code).first()
    if lot is None:
        return ()
    numbers = set(Posting.objects.filter(lot=lot).values_list("entry_id", flat=True))
    numbers |= set(Mention.objects.filter(lot=lot).values_list("entry_id", flat=True))
    for side in ("parent", "child"):
        links = Link.objects.filter(is_cancelled=False, **{side: lot})
        numbers |= set(links.values_list("entry_id", flat=True))
    if lot.made_by_id is not None:
        numbers.add(lot.made_by_id)
    entries = Entry.objects.filter(pk__in=numbers).select_related("person")
    return read(list(entries.order_by("happened_at", "id")))


def after(number: int) -> tuple[Happened, ...]:
    """Return every entry that was recorded after that number, in the order of recording."""
    rows = Entry.objects.filter(pk__gt=number).select_related("person").order_by("id")
    return read(list(rows))


def entry(client_id: str) -> Happened | None:
    """Return one entry by its client id."""
    if not entry_known(client_id):
        return None
    found = read(list(Entry.objects.filter(client_id=client_id).select_related("person")))
    return found[0] if found else None


def moments_of(entries: Iterable[str], cook: str) -> dict[str, tuple[datetime, str]]:
    """Return when these entries happened and why they used a cook's vessels, by client id.

    Entries from before that reason had its own place give the one they have.
    """
    rows = Entry.objects.filter(client_id__in=set(entries))
    return {
        client_id: (at, why_used(details, cook))
        for client_id, at, details in rows.values_list("client_id", "happened_at", "details")
    }


def why_used(details: Mapping[str, Any], cook: str) -> str:
    """Return why an entry used vessels of a cook that did not pass; empty: it had no need to say.

    Entries from before that reason had its own place have what spoke against it, and one reason.
    """
    own = [str(each["reason"]) for each in details.get("despite", ()) if each["cook"] == cook]
    if own:
        return "; ".join(own)
    against = details.get("against", ())
    spoken = against if isinstance(against, list) else [str(against)]
    was_asked = any(f"taken from cook {cook}:" in each for each in spoken)
    return str(details.get("reason", "")) if was_asked else ""


def count_since(client_id: str) -> tuple[str, datetime] | None:
    """Return lot and time of the first count by hand that rests on an entry; None if none does.

    A count is the difference from the books as they stood when it was written down, this entry
    among them, if the entry moved living units of the lot that was counted.
    """
    found = Entry.objects.filter(client_id=client_id).first()
    if found is None:
        return None
    moved = Posting.objects.filter(entry=found, account__in=COUNTED, measure="unit")
    counts = Posting.objects.filter(
        lot__in=moved.values("lot"),
        entry__kind="correct",
        entry__corrects_client="",
        entry__is_corrected=False,
        entry_id__gt=found.pk,
    )
    first = counts.order_by("entry_id").values_list("lot__code", "entry__happened_at").first()
    return None if first is None else (first[0], first[1])


def answers(jobs: Iterable[str]) -> dict[str, tuple[Happened, ...]]:
    """Return what was said to jobs and still stands, by job code, in the order of recording."""
    entries = Entry.objects.filter(job__in=list(jobs), is_corrected=False, corrects_client="")
    found: defaultdict[str, list[Happened]] = defaultdict(list)
    for happened in read(list(entries.select_related("person").order_by("id"))):
        found[happened.job].append(happened)
    return {job: tuple(said) for job, said in found.items()}


def happened_between(
    since: datetime, until: datetime, *, kinds: Iterable[str]
) -> tuple[Happened, ...]:
    """Return the entries of some kinds that still stand, from one moment to another."""
    entries = Entry.objects.filter(
        kind__in=list(kinds),
        happened_at__gte=since,
        happened_at__lt=until,
        is_corrected=False,
        corrects_client="",
    )
    return read(list(entries.select_related("person").order_by("happened_at", "id")))


def rooms_worked_in(person: str, since: datetime, until: datetime) -> frozenset[str]:
    """Return the rooms a person's entries speak of: shelves of postings and mentions, rounds."""
    entries = Entry.objects.filter(
        person__code=person, happened_at__gte=since, happened_at__lt=until, is_corrected=False
    )
    numbers = list(entries.values_list("id", flat=True))
    rooms: set[str] = set()
    for spoken in (Posting, Mention):  # one after the other: together they multiply
        of_them = spoken.objects.filter(entry_id__in=numbers)
        rooms.update(of_them.values_list("place__room", flat=True).distinct())
    for details in entries.filter(kind="round").values_list("details", flat=True):
        rooms.update(details.get("rooms", []))
    return frozenset(rooms - {""})


def has_picked(person: str, since: datetime, until: datetime) -> bool:
    """Say whether a person wrote a picking down; it does not tell from which shelf."""
    return Entry.objects.filter(
        person__code=person,
        kind="pick",
        happened_at__gte=since,
        happened_at__lt=until,
        is_corrected=False,
    ).exists()


def looks_between(lots: Iterable[str], since: datetime, until: datetime) -> dict[str, datetime]:
    """Return when each of these lots was last looked over between two moments."""
    rows = Mention.objects.filter(
        lot__code__in=list(lots),
        role="looked",
        is_cancelled=False,
        entry__happened_at__gte=since,
        entry__happened_at__lt=until,
    )
    return dict(rows.order_by("entry__happened_at").values_list("lot__code", "entry__happened_at"))


def last_entry_number() -> int:
    """Return the number of the entry recorded last; 0 in an empty ledger."""
    return Entry.objects.order_by("-id").values_list("id", flat=True).first() or 0
