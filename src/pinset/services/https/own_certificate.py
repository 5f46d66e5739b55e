"""The farm's own authority and its server's certificate: made, renewed, taken back, told.

Certificates go by this machine's own clock: a day that is pretended is none to other devices.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from pinset.errors import Finding, InputError, PinsetError, RefusedError, Severity
from pinset.files.certificates import keeping, making, reading
from pinset.files.certificates.names import read_names
from pinset.services.clock import machine_now
from pinset.services.https.explained import COMMAND
from pinset.services.words import joined, long_day

SOON = timedelta(days=30)
"""So long before its end the certificate is asked to be renewed."""

MEDIA_TYPE = "application/x-x509-ca-cert"
"""By which devices take a file for an authority to install."""

RENEW = "pinset certificate renew"


@dataclass(frozen=True, slots=True)
class Standing:
    """How the farm's certificate stands."""

    host: str
    addresses: tuple[str, ...]
    until: datetime
    authority_name: str
    authority_until: datetime
    fingerprint: str  # of the authority, SHA-256, as devices show it
    authority_file: Path
    has_authority_key: bool  # in the farm's folder
    days_left: int  # of the server's certificate; negative when it has ended


def standing(farm: Path, now: datetime | None = None) -> Standing | None:
    """Return how the certificate stands, or None if the farm has none.

    Raises
    ------
    RefusedError
        If what is kept is broken or does not fit together.
    """
    if not reading.is_there(farm):
        return None
    kept = reading.read_kept(farm)
    folder = keeping.folder_of(farm)
    common = kept.authority.subject.rdns[0]
    return Standing(
        host=kept.names.host,
        addresses=tuple(str(each) for each in kept.names.addresses),
        until=kept.until,
        authority_name=str(next(iter(common)).value),
        authority_until=kept.authority.not_valid_after_utc,
        fingerprint=kept.fingerprint,
        authority_file=folder / keeping.AUTHORITY,
        has_authority_key=(folder / keeping.AUTHORITY_KEY).exists(),
        days_left=(kept.until - (now or machine_now())).days,
    )


def make(farm: Path, host: str, addresses: Sequence[str], *, is_anew: bool = False) -> Standing:
    """Make an authority and a certificate for the farm's computer.

    Raises
    ------
    InputError
        If the name or an address is none that may be certified.
    RefusedError
        If the farm has an authority already and it shall not be made anew.
    PinsetError
        If the farm's folder cannot be written.
    """
    names = read_names(host, addresses)
    if reading.is_there(farm) and not is_anew:
        raise RefusedError(
            f"The farm has an authority already, in {keeping.folder_of(farm)}.",
            f"For a new address or another year: {RENEW}. With --anew another takes its place, "
            "and every device has to install that one.",
        )
    now = machine_now()
    authority = making.make_authority(names, now)
    server = making.make_server(authority, names, now)
    files = {
        keeping.AUTHORITY_KEY: making.key_text(authority.key),
        keeping.AUTHORITY: making.certificate_text(authority.certificate),
    }
    keeping.write(farm, {**files, **_files(server)})
    return _made(farm)


def renew(farm: Path, addresses: Sequence[str] = (), key: Path | None = None) -> Standing:
    """Make a new certificate by the authority the devices know; its key may be kept elsewhere.

    Without addresses those of the present certificate stay.

    Raises
    ------
    InputError
        If an address is none that may be certified.
    RefusedError
        If the authority is missing, broken or has ended, or its key is not at hand.
    PinsetError
        If the farm's folder cannot be written.
    """
    authority = reading.read_authority(farm, key)
    now = machine_now()
    ends = authority.certificate.not_valid_after_utc
    if ends - now < timedelta(days=1):
        raise RefusedError(
            f"The farm's authority itself ends on {long_day(ends.date())} {ends.year}.",
            "Make another: pinset certificate make --anew; every device has to install it.",
        )
    names = reading.read_kept(farm).names
    if addresses:
        names = read_names(names.host, addresses)
    keeping.write(farm, _files(making.make_server(authority, names, now)))
    return _made(farm)


def take_back(farm: Path) -> str:
    """Delete the farm's authority and certificate, and say what is left to do.

    Raises
    ------
    PinsetError
        If they cannot be deleted.
    """
    gone = keeping.remove(farm)
    if not gone:
        return "The farm has no authority of its own. Nothing was deleted."
    return (
        f"Deleted: {joined(list(gone))}. Nobody can certify anything by this authority any more, "
        "if there is no other copy of its key. Now take it off every device it was installed on."
    )


def authority_data(farm: Path) -> bytes:
    """Return the authority's certificate as devices install it (PEM); it is no secret.

    Raises
    ------
    RefusedError
        If there is none.
    """
    path = keeping.folder_of(farm) / keeping.AUTHORITY
    return keeping.read(path, "The authority's certificate")


def files_to_serve(farm: Path, now: datetime | None = None) -> tuple[Standing, Path, Path]:
    """Return how the certificate stands with the files of certificate and key, to serve with.

    A certificate that ends soon is renewed here if the authority's key is at hand.

    Raises
    ------
    RefusedError
        If there is no certificate, it has ended, or it or its key is broken.
    PinsetError
        If it cannot be written anew.
    """
    found = standing(farm, now)
    if found is None:
        raise RefusedError(
            "The farm has no certificate to serve https with.",
            f"Make one: {COMMAND}.",
        )
    if found.days_left < SOON.days and found.has_authority_key:
        found = renew(farm)
    if found.days_left < 0:
        raise RefusedError(
            ended_words(found),
            "Bring back the authority's key: pinset certificate renew --key FILE.",
        )
    reading.check_server_key(farm, reading.read_kept(farm))
    folder = keeping.folder_of(farm)
    return found, folder / keeping.SERVER, folder / keeping.SERVER_KEY


def ended_words(found: Standing) -> str:
    """Return that the certificate has ended, and what devices make of it."""
    ended = f"The https certificate of {found.host} ended on {_day(found.until)}"
    return f"{ended}; devices refuse the farm."


def due_words(farm: Path, now: datetime | None = None) -> str:
    """Return what is to be done about the certificate; nothing if it is well or there is none."""
    try:
        found = standing(farm, now)
    except PinsetError as problem:
        return str(problem)
    if found is None or found.days_left >= SOON.days:
        return ""
    doing = f"Renew it ({RENEW}) and start pinset serve again; devices notice nothing."
    if found.days_left < 0:
        return f"{ended_words(found)} {doing}"
    return f"The https certificate of {found.host} ends on {_day(found.until)}. {doing}"


def findings(farm: Path, now: datetime | None = None) -> tuple[Finding, ...]:
    """Return what is not well with the certificate, as findings."""
    said = due_words(farm, now)
    if not said:
        return ()
    return (Finding("https.certificate", Severity.WARNING, "https certificate", said),)


def refuse_other_name(given: str, found: Standing) -> None:
    """Refuse to serve under another host name than the certificate's.

    Raises
    ------
    InputError
        If PINSET_HOST_NAME names another.
    """
    if given and given.lower() != found.host:
        raise InputError(
            "PINSET_HOST_NAME",
            given,
            f"{found.host}, for which the certificate was made, or nothing",
            "For another name: pinset certificate make --anew --name NAME.",
        )


def _files(server: making.Pair) -> dict[str, bytes]:
    return {
        keeping.SERVER_KEY: making.key_text(server.key),
        keeping.SERVER: making.certificate_text(server.certificate),
    }


def _made(farm: Path) -> Standing:
    found = standing(farm)
    if found is None:  # deleted between writing and reading
        raise PinsetError(f"{keeping.folder_of(farm)} was emptied meanwhile.")
    return found


def _day(moment: datetime) -> str:
    return f"{long_day(moment.date())} {moment.year}"
