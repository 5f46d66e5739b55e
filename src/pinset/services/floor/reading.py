"""Which lots labels name: scanned, typed or on a photo; what cannot be is said and offered."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from pinset.chain.lotcode import UnitRef, nearest_valid
from pinset.errors import InputError
from pinset.farm.queries.lots import Counts, KnownCodes, LotRow, rows_by_code
from pinset.files.label_photo import MOST_BYTES, PhotoError, codes_on_photo
from pinset.services.floor.label_text import LONGEST_SHOWN, ForeignError, label_text
from pinset.services.floor.records import Held, LabelsRead, Unread
from pinset.services.words import joined, plural

MOST_AT_ONCE = 100
MOST_PHOTO_BYTES = MOST_BYTES
MOST_NEAR = 4
BESIDE = "Beside the labels another code was read; it is not of this farm."


def read_texts(texts: Iterable[str], ours: Collection[str] = ()) -> LabelsRead:
    """Return the lots that typed or scanned texts name, in the order they came.

    Parameters
    ----------
    texts : iterable of str
        Each the text of one label; blank ones are passed over.
    ours : collection of str
        Names of the servers that show this farm, for labels that hold an address.
    """
    given = [text for text in texts if text.strip()]
    refs: list[UnitRef | Unread] = []
    for text in given[:MOST_AT_ONCE]:
        try:
            refs.append(label_text(text, ours))
        except ForeignError as problem:
            sentence = f"“{problem.given}” is no label of this farm."
            refs.append(Unread(str(problem.given), sentence, problem.hint))
        except InputError as problem:
            refs.append(_slip(text, problem))
    if len(given) > MOST_AT_ONCE:
        more = f"{len(given) - MOST_AT_ONCE} more codes came at once than can be read."
        refs.append(Unread("", more, f"Scan them again, at most {MOST_AT_ONCE} at a time."))
    return _known(refs)


def read_photo(data: bytes, ours: Collection[str] = ()) -> LabelsRead:
    """Return the lots whose labels are on a photo.

    Parameters
    ----------
    data : bytes
        A picture as JPEG, PNG or WebP.
    ours : collection of str
        As in :func:`read_texts`.
    """
    try:
        found = codes_on_photo(data)
    except PhotoError as problem:
        if problem.fault.is_text:
            return read_texts([str(problem.given)], ours)
        wanted = f"Wanted is {problem.accepted}. {problem.hint}".strip()
        said = f"Nothing could be read: {problem.given}."
        return LabelsRead(unread=(Unread("", said, wanted),))
    beside = read_texts((*found.doubtful, *found.foreign), ours)
    read = _known(found.codes)
    others = [each if each.near else _beside(each) for each in beside.unread]
    return LabelsRead((*read.held, *beside.held), (*read.unread, *others))


def _beside(each: Unread) -> Unread:
    return Unread(each.given, f"“{each.given}”: {BESIDE}")


def _slip(text: str, problem: InputError) -> Unread:
    """Return what to say of a code that cannot be, with the lots that may be meant."""
    shown = text.strip().upper()[:LONGEST_SHOWN]
    if problem.field != "lot code":
        return Unread(shown, f"{shown}: {problem.field} {problem.given!r} is not accepted.",
                      f"Accepted is {problem.accepted}.")  # fmt: skip
    lot, slash, unit = shown.partition("/")
    near = nearest_valid(lot, KnownCodes())[:MOST_NEAR]
    hint = "Tap the one that stands on the label." if near else "Compare it with the label."
    return Unread(
        shown,
        f"{shown} cannot be right: its check sign does not fit.",
        hint,
        tuple(f"{code}{slash}{unit}" for code in near),
    )


def _known(refs: Iterable[UnitRef | Unread]) -> LabelsRead:
    """Return the lots among what was read that the farm has and of which something is alive."""
    refs = tuple(refs)
    rows = rows_by_code({ref.lot for ref in refs if isinstance(ref, UnitRef)})
    held: list[Held] = []
    unread: list[Unread] = []
    for ref in refs:
        trouble = ref if isinstance(ref, Unread) else _trouble(ref, rows.get(ref.lot))
        if trouble is not None:
            unread.append(trouble)
        elif isinstance(ref, UnitRef):
            held.append(Held(ref.lot, () if ref.unit is None else (ref.unit,)))
    return LabelsRead(tuple(held), tuple(dict.fromkeys(unread)))


def _trouble(ref: UnitRef, row: LotRow | None) -> Unread | None:
    """Return why a lot cannot be taken in hand; None if it can."""
    code = ref.lot
    if row is None:
        near = nearest_valid(code, KnownCodes())[:MOST_NEAR]
        hint = "Tap the one that stands on the label." if near else "Compare it with the label."
        said = f"No lot of this farm has the code {code}."
        return Unread(str(ref), said, hint, near)
    if row.is_void:
        said = f"Lot {code}: the entry that made it was taken back."
        return Unread(str(ref), said, "Its page says when and why.", lot=code)
    if row.is_announced:
        said = f"Lot {code} is named by entries, but the one that makes it has not arrived."
        hint = "It may wait on another tablet without network."
        return Unread(str(ref), said, hint, lot=code)
    if not row.counts.alive:
        said = f"Lot {code}: nothing of it is alive, {_gone(row.counts)}."
        hint = "If some stand there all the same, count them again on its page."
        return Unread(str(ref), said, hint, lot=code)
    if ref.unit is not None and ref.unit > row.counts.made:
        made = plural(row.counts.made, "unit")
        said = f"Lot {code} has {made}: there is no number {ref.unit}."
        return Unread(str(ref), said, "Tap the lot to take all of it in hand.", (code,))
    return None


def _gone(counts: Counts) -> str:
    """Return where the units of a lot went: ``20 used and 4 lost to contamination``."""
    gone = (
        (counts.used, "used"),
        (counts.lost, "lost to contamination"),
        (counts.culled, "taken out"),
        (counts.spent, "spent"),
        (counts.sold, "sold"),
    )
    said = joined([f"{count} {word}" for count, word in gone if count])
    return f"of {plural(counts.made, 'unit')} {said}" if said else "and none was ever made"
