"""A certificate and its key, looked at before anything is served with them."""

from __future__ import annotations

import os
import ssl
import stat
from contextlib import suppress
from typing import TYPE_CHECKING, Any

from weighstation.errors import SpecificationError

if TYPE_CHECKING:
    from pathlib import Path

    from weighstation.station.pages.place import Certificate

_MOST_ROUNDS = 4
SOON_S = 30 * 86_400
_RENEW = "renew it and start again"
_DATES = {9: "is not valid yet: look at this machine's clock", 10: f"has run out: {_RENEW}"}
"""By OpenSSL's codes of what is wrong (X509_V_ERR)."""


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


def cautions(certificate: Certificate, now_s: float) -> tuple[str, ...]:
    """Return what is to be minded of a certificate that can be used, a sentence each.

    Parameters
    ----------
    certificate : Certificate
    now_s : float, seconds since 1970

    Returns
    -------
    tuple of str
    """
    said = []
    if os.name == "posix" and certificate.key_path.stat().st_mode & stat.S_IROTH:
        said.append(
            f"Every user of this machine can read the key '{certificate.key_path}':"
            f" type 'chmod o= {certificate.key_path}'."
        )
    dates = _dates_said(certificate, now_s)
    if dates:
        said.append(f"The certificate '{certificate.path}' {dates}.")
    return tuple(said)


def _dates_said(certificate: Certificate, now_s: float) -> str:
    """Return what a client that trusts this very certificate makes of its dates."""
    try:
        ends = _shown_to_itself(certificate).get("notAfter")
    except ssl.SSLCertVerificationError as exc:
        return _DATES.get(exc.verify_code, "")
    except (ssl.SSLError, ValueError):  # it speaks to clients of another kind only
        return ""
    left_s = ssl.cert_time_to_seconds(str(ends)) - now_s
    return f"runs out in {left_s / 86_400:.0f} days: {_RENEW}" if left_s < SOON_S else ""


def _shown_to_itself(certificate: Certificate) -> dict[str, Any]:
    """Shake hands with nobody else, in memory; Python reads a certificate in no other way."""
    server = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    server.load_cert_chain(certificate.path, certificate.key_path, password=_refuse_password)
    client = ssl.create_default_context(cafile=certificate.path)
    client.check_hostname = False
    client.verify_flags = ssl.VerifyFlags.VERIFY_X509_PARTIAL_CHAIN
    here, there = ssl.MemoryBIO(), ssl.MemoryBIO()
    ends = client.wrap_bio(here, there), server.wrap_bio(there, here, server_side=True)
    for end in ends * _MOST_ROUNDS:
        with suppress(ssl.SSLWantReadError):
            end.do_handshake()
    return dict(ends[0].getpeercert() or {})


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
