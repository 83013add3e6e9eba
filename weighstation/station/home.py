"""The station's folder: products, journal, what was last used."""

from __future__ import annotations

import json
import os
from contextlib import suppress
from dataclasses import asdict, dataclass
from pathlib import Path

from weighstation.errors import JournalFullError, SpecificationError
from weighstation.specification import Catalogue, parse_catalogue

ENVIRONMENT = "WEIGHSTATION_HOME"


@dataclass(frozen=True, slots=True)
class LastUsed:
    """What ``divide`` goes on with when nothing is said.

    Parameters
    ----------
    product : str
        Name in the catalogue; empty when limits were given without a product.
    port : str
        URL of the scale.
    """

    product: str = ""
    port: str = ""


class Home:
    """A folder that belongs to one station.

    Parameters
    ----------
    folder : Path
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.products_path = folder / "products.toml"
        self.journal_path = folder / "journal.sqlite"
        self._last_path = folder / "last.json"

    @classmethod
    def find(cls, given: Path | None) -> Home:
        """Return the home folder: as given, else by WEIGHSTATION_HOME, else the system's place.

        Parameters
        ----------
        given : Path or None

        Returns
        -------
        Home
        """
        if given is not None:
            return cls(given)
        if folder := os.environ.get(ENVIRONMENT):
            return cls(Path(folder))
        import platformdirs  # noqa: PLC0415 - only where nothing was said

        return cls(Path(platformdirs.user_data_dir("weighstation", appauthor=False)))

    def make(self) -> None:
        """Make the folder, if need be, and see that it can be written to.

        Raises
        ------
        JournalFullError
            If it cannot.
        """
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            probe = self.folder / f".probe-{os.getpid()}"
            probe.write_bytes(b"")
            probe.unlink()
        except OSError as exc:
            raise JournalFullError(
                f"The home folder {self.folder} cannot be written to"
                f" ({(exc.strerror or str(exc)).lower()}).",
                hint="Choose another with --home DIR, or give this user the right to write there.",
            ) from exc

    def catalogue(self) -> Catalogue:
        """Return the products of products.toml.

        Returns
        -------
        Catalogue

        Raises
        ------
        SpecificationError
            If there is no such file, it cannot be read, or it has faults (all named).
        """
        try:
            text = self.products_path.read_text(encoding="utf-8")
        except FileNotFoundError as exc:
            raise SpecificationError(
                f"There is no products file {self.products_path}.",
                hint='Write one with a line currency = "EUR" and, for each product, a table'
                " [[product]] with name, scaling_weight_g, under_g and over_g;"
                " or give --target, --under and --over.",
            ) from exc
        except (OSError, UnicodeDecodeError) as exc:
            raise SpecificationError(
                f"The products file {self.products_path} cannot be read.",
                hint="It must be a text file in UTF-8 that this user may read.",
            ) from exc
        return parse_catalogue(text, source=str(self.products_path))

    def last_used(self) -> LastUsed:
        """Return what was used last; empty where nothing was, or the note of it is spoilt.

        Returns
        -------
        LastUsed
        """
        try:
            noted = json.loads(self._last_path.read_text(encoding="utf-8"))
            return LastUsed(str(noted["product"]), str(noted["port"]))
        except (OSError, ValueError, KeyError, TypeError):
            return LastUsed()

    def remember(self, last: LastUsed) -> None:
        """Note what is used now, whole or not at all.

        Parameters
        ----------
        last : LastUsed
        """
        beside = self._last_path.with_suffix(f".{os.getpid()}")
        with suppress(OSError):  # a convenience: the batch does not depend on it
            beside.write_text(json.dumps(asdict(last)), encoding="utf-8")
            beside.replace(self._last_path)
