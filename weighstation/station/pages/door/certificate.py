"""A certificate and its key, looked at before anything is served with them."""

from __future__ import annotations

import ssl
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError

if TYPE_CHECKING:
    from pathlib import Path

    from weighstation.station.pages.place import Certificate


def refuse_bad(certificate: Certificate) -> None:
    """Refuse a certificate that cannot be used.

    Parameters
    ----------
    certificate : Certificate

    Raises
    ------
    SpecificationError
        If it cannot.
    """
    for path, option in ((certificate.path, "--certificate"), (certificate.key_path, "--key")):
        _refuse_unread(path, option)
    try:
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        context.load_cert_chain(certificate.path, certificate.key_path, password=_refuse_password)
    except (ssl.SSLError, ValueError) as exc:
        raise SpecificationError(
            f"The certificate '{certificate.path}' cannot be used with the key"
            f" '{certificate.key_path}'.",
            hint="Both must be PEM files, the key without a password, and made for each other.",
        ) from exc


def _refuse_unread(path: Path, option: str) -> None:
    try:
        path.read_bytes()
    except OSError as exc:
        raise SpecificationError(
            f"'{path}' cannot be read ({(exc.strerror or str(exc)).lower()}).",
            hint=f"Give {option} a file that is there and that this user may read.",
        ) from exc


def _refuse_password() -> str:
    raise ValueError
