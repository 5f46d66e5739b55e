"""Making keys and certificates: the farm's own authority, and by it a certificate for the server.

Follows RFC 5280: the authority may sign certificates and nothing below it may (section 4.2.1.9),
for the farm's name and private addresses alone (section 4.2.1.10, critical), to prove a server
(section 4.2.1.12).
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from pinset.files.certificates.names import PRIVATE, Names

AUTHORITY_DAYS = 3650
"""Ten years [d]: installing it anew on every device is the work this saves. Our choice."""

SERVER_DAYS = 397
"""Longest life of a server's certificate that browsers take without exception [d] (memory; own
authorities are allowed 825 days on some devices)."""

BEFORE = timedelta(hours=1)
"""A device's clock may be behind by this much."""

LONGEST_NAME = 64
"""Signs of a common name: RFC 5280 appendix A.1, ub-common-name."""


@dataclass(frozen=True, slots=True)
class Pair:
    """A certificate with its private key."""

    certificate: x509.Certificate
    key: ec.EllipticCurvePrivateKey


def make_authority(names: Names, now: datetime) -> Pair:
    """Return a new authority that may certify this name and private addresses, nothing else."""
    key = ec.generate_private_key(ec.SECP256R1())
    ending = f", {now:%Y-%m-%d}"
    title = f"pinset {names.host}"[: LONGEST_NAME - len(ending)] + ending
    own = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, title)])
    allowed: list[x509.GeneralName] = [x509.DNSName(names.host)]
    allowed += [x509.IPAddress(network) for network in PRIVATE]
    identifier = x509.SubjectKeyIdentifier.from_public_key(key.public_key())
    certificate = (
        _begun(own, own, key, now, AUTHORITY_DAYS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(signs_certificates=True), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.NameConstraints(allowed, None), critical=True)
        .add_extension(identifier, critical=False)
        .sign(key, hashes.SHA256())
    )
    return Pair(certificate, key)


def make_server(authority: Pair, names: Names, now: datetime) -> Pair:
    """Return a new key and certificate for the server, ending no later than its authority."""
    key = ec.generate_private_key(ec.SECP256R1())
    subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "pinset server")])
    certified: list[x509.GeneralName] = [x509.DNSName(names.host)]
    certified += [x509.IPAddress(address) for address in names.addresses]
    issuer = authority.certificate
    of_issuer = issuer.extensions.get_extension_for_class(x509.SubjectKeyIdentifier).value
    left = issuer.not_valid_after_utc - now
    certificate = (
        _begun(subject, issuer.subject, key, now, min(SERVER_DAYS, left.days))
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(signs_certificates=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectAlternativeName(certified), critical=False)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .add_extension(
            x509.AuthorityKeyIdentifier.from_issuer_subject_key_identifier(of_issuer),
            critical=False,
        )
        .sign(authority.key, hashes.SHA256())
    )
    return Pair(certificate, key)


def certificate_text(certificate: x509.Certificate) -> bytes:
    """Return a certificate as PEM."""
    return certificate.public_bytes(serialization.Encoding.PEM)


def key_text(key: ec.EllipticCurvePrivateKey) -> bytes:
    """Return a private key as PEM (PKCS #8), not locked by a password."""
    return key.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    )


def _begun(
    subject: x509.Name,
    issuer: x509.Name,
    key: ec.EllipticCurvePrivateKey,
    now: datetime,
    days: int,
) -> x509.CertificateBuilder:
    begin = now.replace(microsecond=0) - BEFORE
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(begin)
        .not_valid_after(begin + timedelta(days=days))
    )


def _usage(*, signs_certificates: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs_certificates,
        key_cert_sign=signs_certificates,
        crl_sign=signs_certificates,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        encipher_only=False,
        decipher_only=False,
    )
