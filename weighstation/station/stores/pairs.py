"""Which devices were let in from the network: their keys, each kept as a digest only.

A pairing link is a secret that is used once; what it is used up for is a key that a browser keeps.
Both are 192 random bits, so their SHA-256 is enough: a slow hash protects words that people choose,
which can be guessed, and here there is nothing to guess. All digests are compared, each in constant
time, whichever fits.
"""

from __future__ import annotations

import hashlib
import os
import secrets
import sqlite3
from contextlib import closing, contextmanager
from typing import TYPE_CHECKING, NamedTuple

from weighstation.errors import JournalFullError, SchemaTooNewError, SpecificationError

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

SECRET_BYTES = 24
LINK_S = 600
"""A pairing link can be used for so long."""
KEY_S = 400 * 86_400
"""A device is let in for so long; no browser keeps a cookie longer."""
MOST = 64
FILE = "pairs.sqlite"
_FORM = 1
_WAIT_S = 2.0
_COUNTER = slice(24, 28)
"""Where SQLite counts the changes of a file (its "Database File Format", 1.3.7)."""
_SCHEMA = f"""
CREATE TABLE IF NOT EXISTS key (
    digest BLOB PRIMARY KEY, is_link INTEGER NOT NULL, name TEXT NOT NULL UNIQUE,
    role TEXT NOT NULL, made_ms INTEGER NOT NULL, until_ms INTEGER NOT NULL) STRICT;
CREATE TABLE IF NOT EXISTS served (url TEXT NOT NULL) STRICT;
PRAGMA user_version = {_FORM};
"""


class Device(NamedTuple):
    """What was let in, or may come in by its link.

    Parameters
    ----------
    name, role : str
    is_link : bool
        Its link was not used yet.
    made_ms, until_ms : int, milliseconds since 1970
        When the link was made or used, and until when it holds.
    """

    name: str
    role: str
    is_link: bool
    made_ms: int
    until_ms: int


_Row = tuple[bytes, Device]
_Stamp = tuple[int, int, int, bytes] | None


class Pairs:
    """The devices of one station, in a file that only its owner may read.

    Parameters
    ----------
    folder : Path
        Home of the station; the file need not be there yet.
    """

    def __init__(self, folder: Path) -> None:
        self._path = folder / FILE
        self._read: tuple[_Stamp, Sequence[_Row]] = (None, ())

    def link(self, name: str, role: str, now_ms: int) -> tuple[str, Device]:
        """Make a link for one device.

        Parameters
        ----------
        name : str
            Empty for the first that is free.
        role : str
        now_ms : int, milliseconds since 1970

        Returns
        -------
        tuple of str and Device
            Its secret, which is kept nowhere, and what it will let in.

        Raises
        ------
        SpecificationError
            If another device has that name, or there are too many.
        JournalFullError
            If the file cannot be written.
        SchemaTooNewError
            If the file was written by a newer weighstation.
        """
        secret = secrets.token_urlsafe(SECRET_BYTES)
        with self._writing(now_ms) as file:
            names = {name for (name,) in file.execute("SELECT name FROM key")}
            if len(names) >= MOST:
                raise SpecificationError(
                    f"There are {MOST} devices already.",
                    hint="Look at 'weighstation pair --list' and take one out with --revoke NAME.",
                )
            if name in names:
                raise SpecificationError(
                    f"There is a device called '{name}' already.",
                    hint="Give another --name, or take that one out with --revoke first.",
                )
            made = Device(
                name=name or _free(role, names),
                role=role,
                is_link=True,
                made_ms=now_ms,
                until_ms=now_ms + LINK_S * 1000,
            )
            _keep(file, secret, made)
        return secret, made

    def use(self, secret: str, now_ms: int) -> tuple[str, Device] | None:
        """Use a link up.

        Parameters
        ----------
        secret : str
        now_ms : int, milliseconds since 1970

        Returns
        -------
        tuple of str and Device, or None
            The key that lets the device in from now on; None where there is no such link (any
            more).

        Raises
        ------
        JournalFullError
            If the file cannot be written.
        SchemaTooNewError
            If the file was written by a newer weighstation.
        """
        if _link_in(self._now(), secret, now_ms) is None:  # who guesses costs the disk nothing
            return None
        with self._writing(now_ms) as file:
            found = _link_in(_rows(file), secret, now_ms)
            if found is None:
                return None
            digest, link = found
            key = secrets.token_urlsafe(SECRET_BYTES)
            device = link._replace(is_link=False, made_ms=now_ms, until_ms=now_ms + KEY_S * 1000)
            file.execute("DELETE FROM key WHERE digest = ?", (digest,))
            _keep(file, key, device)
        return key, device

    def device(self, key: str, now_ms: int) -> Device | None:
        """Return whom a key lets in.

        Parameters
        ----------
        key : str
        now_ms : int, milliseconds since 1970

        Returns
        -------
        Device or None

        Raises
        ------
        JournalFullError
            If the file cannot be read.
        SchemaTooNewError
            If the file was written by a newer weighstation.
        """
        keys = [row for row in self._now() if not row[1].is_link and row[1].until_ms > now_ms]
        found = _fitting(keys, key)
        return None if found is None else found[1]

    def devices(self, now_ms: int) -> list[Device]:
        """Return all that are let in or may use their link, by name.

        Parameters
        ----------
        now_ms : int, milliseconds since 1970

        Returns
        -------
        list of Device

        Raises
        ------
        JournalFullError
            If the file cannot be read.
        SchemaTooNewError
            If the file was written by a newer weighstation.
        """
        return sorted(device for _, device in self._now() if device.until_ms > now_ms)

    def revoke(self, name: str, now_ms: int) -> bool:
        """Let a device in no more.

        Parameters
        ----------
        name : str
        now_ms : int, milliseconds since 1970

        Returns
        -------
        bool
            Whether there was one.

        Raises
        ------
        JournalFullError
            If the file cannot be written.
        SchemaTooNewError
            If the file was written by a newer weighstation.
        """
        if self._stamp() is None:
            return False
        with self._writing(now_ms) as file:
            return file.execute("DELETE FROM key WHERE name = ?", (name,)).rowcount > 0

    def served_at(self) -> str:
        """Return where pages were last served on the network; empty where they never were.

        Returns
        -------
        str

        Raises
        ------
        JournalFullError
            If the file cannot be read.
        SchemaTooNewError
            If the file was written by a newer weighstation.
        """
        if self._stamp() is None:
            return ""
        with self._translated(), closing(self._open()) as file:
            found = file.execute("SELECT url FROM served").fetchone()
        return str(found[0]) if found else ""

    def serve_at(self, url: str, now_ms: int) -> None:
        """Note where pages are served on the network, for links to come.

        Parameters
        ----------
        url : str
        now_ms : int, milliseconds since 1970

        Raises
        ------
        JournalFullError
            If the file cannot be written.
        SchemaTooNewError
            If the file was written by a newer weighstation.
        """
        with self._writing(now_ms) as file:
            file.execute("DELETE FROM served")
            file.execute("INSERT INTO served VALUES (?)", (url,))

    # ---- the file

    def _now(self) -> Sequence[_Row]:
        """Return all rows, read anew only where the file is another one than it was."""
        stamp = self._stamp()
        if stamp is None:
            return ()
        if stamp != self._read[0]:
            with self._translated(), closing(self._open()) as file:
                self._read = (stamp, _rows(file))
        return self._read[1]

    def _stamp(self) -> _Stamp:
        """Return what differs once the file was written; two changes may fall into one tick.

        None where there is none, or nothing was written to it yet.
        No connection of this process may be open: closing the file here would end its locks.
        """
        with self._translated():
            try:
                file = self._path.open("rb")
            except FileNotFoundError:
                return None
            with file:
                found = os.fstat(file.fileno())
                changes = file.read(_COUNTER.stop)[_COUNTER]
        return (found.st_mtime_ns, found.st_size, found.st_ino, changes) if changes else None

    @contextmanager
    def _writing(self, now_ms: int) -> Iterator[sqlite3.Connection]:
        """Do something to the file whole or not at all; what is over goes out on the way."""
        with self._translated():
            os.close(os.open(self._path, os.O_RDWR | os.O_CREAT, 0o600))
            with closing(self._open()) as file:
                file.executescript(_SCHEMA)
                file.execute("BEGIN IMMEDIATE")
                with file:
                    file.execute("DELETE FROM key WHERE until_ms <= ?", (now_ms,))
                    yield file

    def _open(self) -> sqlite3.Connection:
        file = sqlite3.connect(self._path, timeout=_WAIT_S, isolation_level=None)
        form = file.execute("PRAGMA user_version").fetchone()[0]
        if form > _FORM:
            file.close()
            raise SchemaTooNewError(
                f"The file {self._path} was written by a newer weighstation.",
                hint="Update this one.",
            )
        return file

    @contextmanager
    def _translated(self) -> Iterator[None]:
        try:
            yield
        except (sqlite3.Error, OSError) as exc:
            raise JournalFullError(
                f"The file {self._path}, which says who may come in, cannot be read or written"
                f" ({str(exc).lower()}).",
                hint="Free some space and see that this user may write there; or delete it, and"
                " pair every device again.",
            ) from exc


def _rows(file: sqlite3.Connection) -> Sequence[_Row]:
    rows = file.execute("SELECT digest, name, role, is_link, made_ms, until_ms FROM key")
    return [
        (digest, Device(name, role, bool(is_link), made_ms, until_ms))
        for digest, name, role, is_link, made_ms, until_ms in rows
    ]


def _keep(file: sqlite3.Connection, secret: str, device: Device) -> None:
    row = (_digest(secret), device.is_link, device.name, device.role)
    file.execute(
        "INSERT INTO key (digest, is_link, name, role, made_ms, until_ms) VALUES (?,?,?,?,?,?)",
        (*row, device.made_ms, device.until_ms),
    )


def _link_in(rows: Sequence[_Row], secret: str, now_ms: int) -> _Row | None:
    """Return the row of a link that holds now; a clock that was set back gives it no more time."""
    most_ms = LINK_S * 1000
    links = [row for row in rows if row[1].is_link and -most_ms < now_ms - row[1].made_ms < most_ms]
    return _fitting(links, secret)


def _fitting(rows: Sequence[_Row], secret: str) -> _Row | None:
    """Return the row of a secret; all are compared, lest the time it takes says which."""
    digest = _digest(secret)
    fitting = [row for row in rows if secrets.compare_digest(row[0], digest)]
    return fitting[0] if fitting else None


def _digest(secret: str) -> bytes:
    return hashlib.sha256(secret.encode(errors="surrogatepass")).digest()


def _free(role: str, names: set[str]) -> str:
    return next(name for n in range(1, MOST + 2) if (name := f"{role} {n}") not in names)
