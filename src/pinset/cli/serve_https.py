"""What `pinset serve --https` takes: certificate and key for the server, names for the pages."""

from __future__ import annotations

import os
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from pinset.errors import InputError
from pinset.services.https import own_certificate

MOST_PORT = 65535


@dataclass(frozen=True, slots=True)
class Secure:
    """What serving over https takes beside the pages."""

    host: str
    until: datetime
    options: tuple[str, ...]  # of the server
    environment: dict[str, str]
    http_port: int  # 0 for none


def own_https(folder: Path, port: int, http_port: int) -> Secure:
    """Return what serving with the farm's own certificate takes.

    Raises
    ------
    InputError
        If the plain port cannot be, or PINSET_HOST_NAME is another name than the certificate's.
    RefusedError
        If there is no certificate, or it is broken or has ended.
    """
    if http_port and (not 1 <= http_port <= MOST_PORT or http_port == port):
        raise InputError("--http-port", http_port, f"1 to {MOST_PORT} but {port}, or 0 for none")
    found, certificate, key = own_certificate.files_to_serve(folder)
    own_certificate.refuse_other_name(os.environ.get("PINSET_HOST_NAME", ""), found)
    return Secure(
        found.host,
        found.until,
        (
            *("--ssl-certificate", str(certificate), "--ssl-keyfile", str(key)),
            *("--ssl-protocol-min", "tls1.2"),
        ),
        {
            "PINSET_HTTPS": "own",
            "PINSET_HOST_NAME": ",".join((found.host, *found.addresses)),
            "PINSET_HTTPS_PORT": str(port),
        },
        http_port,
    )
