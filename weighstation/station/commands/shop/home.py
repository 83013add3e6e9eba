"""The station's folder: products, scales and journal."""

from __future__ import annotations

import os
import shlex
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from weighstation.errors import JournalFullError, SpecificationError
from weighstation.specification import Catalogue, parse_catalogue

if TYPE_CHECKING:
    from weighstation.specification import Product
    from weighstation.station.devices.profiles import Profile

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
        self.weights_path = folder / "weights.toml"

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
                hint=f"Type 'weighstation init --home {shlex.quote(str(self.folder))}' for one to"
                " start from, or give --target, --under and --over.",
            ) from exc
        except (OSError, UnicodeDecodeError) as exc:
            raise SpecificationError(
                f"The products file {self.products_path} cannot be read.",
                hint="It must be a text file in UTF-8 that this user may read.",
            ) from exc
        return parse_catalogue(text, source=str(self.products_path))

    @property
    def shows_people(self) -> bool:
        """Whether the shop chose that reports name people; where nothing says so, it did not."""
        with suppress(SpecificationError):
            return self.catalogue().show_people
        return False

    def product(self, name: str) -> Product | None:
        """Return a product of products.toml as it is written there now.

        Parameters
        ----------
        name : str

        Returns
        -------
        Product or None
            None where there is no such file, or none of that name in it.

        Raises
        ------
        SpecificationError
            If the file cannot be read, or has faults (all named).
        """
        if not self.products_path.exists():
            return None
        products = self.catalogue().products
        return next((product for product in products if product.name == name), None)

    def profiles(self) -> dict[str, Profile]:
        """Return what was learned of scales, by identity.

        Returns
        -------
        dict of Profile
            Empty where there is no such file.

        Raises
        ------
        SpecificationError
            If the file cannot be read.
        """
        from weighstation.station.devices.profiles import read_profiles  # noqa: PLC0415 - its parser

        try:
            text = self.scales_path.read_text(encoding="utf-8-sig")
        except FileNotFoundError:
            return {}
        except (OSError, UnicodeDecodeError) as exc:
            raise SpecificationError(
                f"The file {self.scales_path} cannot be read.",
                hint="It must be a text file in UTF-8 that this user may read.",
            ) from exc
        return read_profiles(text, str(self.scales_path))

    def keep_profile(self, profile: Profile) -> None:
        """Write a profile into scales.toml, in the place of an older one of the same scale.

        Parameters
        ----------
        profile : Profile

        Raises
        ------
        SpecificationError
            If the file there cannot be read.
        JournalFullError
            If it cannot be written.
        """
        from weighstation.station.devices.profiles import write_profiles  # noqa: PLC0415 - as above

        profiles = self.profiles()
        old = profiles.get(profile.identity)
        if old is not None:  # what is not said anew stays what it was
            profile = replace(
                profile,
                plate=profile.plate or old.plate,
                check_due_h=profile.check_due_h or old.check_due_h,
            )
        profiles[profile.identity] = profile
        self.make()
        beside = self.scales_path.with_suffix(".toml.new")
        try:
            beside.write_text(write_profiles(profiles.values()), encoding="utf-8")
            beside.replace(self.scales_path)
        except OSError as exc:
            raise JournalFullError(
                f"The file {self.scales_path} cannot be written"
                f" ({(exc.strerror or str(exc)).lower()}).",
                hint="Free some space or choose another home with --home DIR.",
            ) from exc
