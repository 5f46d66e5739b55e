"""Reading keys and certificates back: whole, fitting together, and for which names until when."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from ipaddress import IPv4Address, IPv6Address
from pathlib import Path

from cryptography import x509
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec

from pinset.errors import RefusedError
from pinset.files.certificates import keeping
from pinset.files.certificates.making import Pair
from pinset.files.certificates.names import Names

ANEW = "Make everything anew: pinset certificate make --anew."


@dataclass(frozen=True, slots=True)
class Kept:
    """What stands in the folder: the authority's certificate, the server's, and its names."""

    authority: x509.Certificate
    server: x509.Certificate
    names: Names

    @property
    def until(self) -> datetime:
        """Return when the server's certificate ends."""
        return self.server.not_valid_after_utc

    @property
    def fingerprint(self) -> str:
        """Return SHA-256 of the authority's certificate, as devices show it."""
        return self.authority.fingerprint(hashes.SHA256()).hex(":").upper()


def is_there(farm: Path) -> bool:
    """Say whether the farm has anything of an authority or a certificate of its own."""
    return any(
        (keeping.folder_of(farm) / name).exists() for name in (keeping.AUTHORITY, keeping.SERVER)
    )


def read_kept(farm: Path) -> Kept:
    """Return the farm's certificates; the server's must be of the authority beside it.

    Raises
    ------
    RefusedError
        If one is missing, broken, or not of this authority.
    """
    folder = keeping.folder_of(farm)
    authority = _certificate(folder / keeping.AUTHORITY, "The authority's certificate")
    server = _certificate(folder / keeping.SERVER, "The server's certificate")
    try:
        server.verify_directly_issued_by(authority)
    except (ValueError, TypeError, InvalidSignature):
        raise RefusedError(
            f"The server's certificate in {folder / keeping.SERVER} is not of the authority "
            "beside it.",
            "Renew it: pinset certificate renew.",
        ) from None
    return Kept(authority, server, _names(server, folder / keeping.SERVER))


def check_server_key(farm: Path, kept: Kept) -> None:
    """Refuse a server's key that is missing, broken, open to others or of another certificate.

    Raises
    ------
    RefusedError
        Saying which of these it is.
    """
    path = keeping.folder_of(farm) / keeping.SERVER_KEY
    key = _key(path, "The server's key", "Renew the certificate: pinset certificate renew.")
    if key.public_key() != kept.server.public_key():
        raise RefusedError(
            f"The server's key in {path} is not the one of its certificate.",
            "Renew the certificate: pinset certificate renew.",
        )


def read_authority(farm: Path, key: Path | None = None) -> Pair:
    """Return the authority with its key, from the farm's folder or where the key is kept.

    Raises
    ------
    RefusedError
        If either is missing, broken, or they are not of each other.
    """
    folder = keeping.folder_of(farm)
    certificate = _certificate(folder / keeping.AUTHORITY, "The authority's certificate")
    path = key or folder / keeping.AUTHORITY_KEY
    hint = f"If you keep it elsewhere, name it: --key FILE. {ANEW}"
    found = _key(path, "The authority's key", hint, is_of_farm=key is None)
    if found.public_key() != certificate.public_key():
        raise RefusedError(f"The key in {path} is not the one of the farm's authority.", hint)
    return Pair(certificate, found)


def _certificate(path: Path, what: str) -> x509.Certificate:
    data = keeping.read(path, what)
    try:
        return x509.load_pem_x509_certificate(data)
    except ValueError:
        raise RefusedError(
            f"{what} in {path} is broken: it is no certificate (PEM).", ANEW
        ) from None


def _key(
    path: Path, what: str, hint: str, *, is_of_farm: bool = True
) -> ec.EllipticCurvePrivateKey:
    data = keeping.read(path, what, hint, is_secret=is_of_farm)
    try:
        key = serialization.load_pem_private_key(data, password=None)
    except (ValueError, TypeError):
        raise RefusedError(f"{what} in {path} is broken: it is no private key.", hint) from None
    if not isinstance(key, ec.EllipticCurvePrivateKey):
        raise RefusedError(f"{what} in {path} is of another kind than pinset makes.", hint)
    return key


def _names(server: x509.Certificate, path: Path) -> Names:
    try:
        found = server.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    except x509.ExtensionNotFound:
        raise RefusedError(f"The certificate in {path} names no host.", ANEW) from None
    hosts = found.get_values_for_type(x509.DNSName)
    addresses = found.get_values_for_type(x509.IPAddress)
    return Names(
        hosts[0] if hosts else "",
        tuple(each for each in addresses if isinstance(each, IPv4Address | IPv6Address)),
    )
