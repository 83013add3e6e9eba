"""The station's folder: products, scales and journal."""

from __future__ import annotations

import os
import sys
from pathlib import Path

from weighstation.errors import JournalFullError, SpecificationError
from weighstation.specification import Catalogue, parse_catalogue

ENVIRONMENT = "WEIGHSTATION_HOME"


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
        self.scales_path = folder / "scales.toml"

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
            text = self.products_path.read_text(encoding="utf-8-sig")
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

    def learned(self) -> frozenset[str]:
        """Return the identities of the scales whose profile is in scales.toml.

        Returns
        -------
        frozenset of str
            Empty where there is no such file; one that cannot be read is said on standard error.
        """
        import tomllib  # noqa: PLC0415 - only where somebody asks for scales

        try:
            scales = tomllib.loads(self.scales_path.read_text(encoding="utf-8-sig")).get("scale")
        except FileNotFoundError:
            return frozenset()
        except (OSError, ValueError):
            sys.stderr.write(
                f"The file {self.scales_path} cannot be read. Mend it, or put it away and let the"
                " station learn its scales anew.\n"
            )
            return frozenset()
        tables = scales if isinstance(scales, list) else []
        return frozenset(
            table["identity"]
            for table in tables
            if isinstance(table, dict) and isinstance(table.get("identity"), str)
        )
