"""The registers: their chain of seals, and the room each place is said to be in."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from pinset.errors import Finding, Severity
from pinset.farm.models import ChainHead, Person, Place, RegisterRow
from pinset.farm.models.register import RegisterKind
from pinset.farm.seals import seal_of, sealed

AT_ONCE = 500
_HINT = "Keep the file as it is and take the last backup that checks: pinset restore FILE."


def check_registers(using: str) -> Iterator[Finding]:
    """Yield what is wrong with the registers, row by row."""
    yield from _seals(using)
    yield from _rooms(using)


def _seals(using: str) -> Iterator[Finding]:
    keys = dict(Person.objects.using(using).values_list("code", "key"))
    rows = RegisterRow.objects.using(using).select_related("recorded_by").order_by("id")
    previous, count = "", 0
    for row in rows.iterator(AT_ONCE):
        if row.seal != seal_of(sealed(row, keys), previous):
            yield Finding(
                "ledger.register-changed",
                Severity.WRONG,
                f"{row.kind} {row.code}",
                f"Version {row.version} of {row.kind} {row.code} was changed after it was "
                "written, or what was written before it is missing.",
                _HINT,
            )
        previous, count = row.seal, count + 1
    head = ChainHead.objects.using(using).filter(pk=1).first()
    said, last = (head.registers, head.last_seal) if head else (0, "")
    if (said, last) != (count, previous):
        yield Finding(
            "ledger.registers-lost",
            Severity.WRONG,
            "registers",
            f"The registers hold {count} versions, and the last written is not the one it "
            f"should be; {said} were written.",
            _HINT,
        )


def _rooms(using: str) -> Iterator[Finding]:
    """Yield places in a room that never had that shelf."""
    ever: defaultdict[str, set[str]] = defaultdict(set)
    rooms = RegisterRow.objects.using(using).filter(kind=RegisterKind.ROOM)
    for code, body in rooms.values_list("code", "body"):
        for shelf in body.get("shelves", ()):
            ever[shelf["code"]].add(code)
    known = dict(Place.objects.using(using).values_list("code", "room"))
    for place in sorted(known.keys() | ever.keys()):
        rooms_of = ever.get(place, {""})
        if known.get(place, "") in rooms_of:
            continue
        said = f"room {known[place]}" if known.get(place) else "no room"
        where = " or ".join(sorted(rooms_of - {""})) or "no room"
        yield Finding(
            "ledger.place-room",
            Severity.WRONG,
            f"place {place}",
            f"Place {place} is kept as being in {said}; the registers say {where}.",
            _HINT,
        )
