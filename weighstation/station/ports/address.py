"""A port's URL, taken apart and checked."""

from __future__ import annotations

from dataclasses import dataclass, field
from urllib.parse import parse_qsl, quote, unquote

from weighstation.errors import SpecificationError

EXAMPLE = "serial:///dev/ttyUSB0?baud=9600"
_STAND_INS = {"simulated": "simulated scale", "replay": "recording"}


@dataclass(frozen=True, slots=True)
class Address:
    """Where a scale is: ``scheme://place?option=value&...``.

    Parameters
    ----------
    scheme : str
        Kind of port.
    place : str
        Device, file or host, as the scheme wants it.
    options : dict of str
        What follows the question mark.
    """

    scheme: str
    place: str
    options: dict[str, str] = field(default_factory=dict)

    @classmethod
    def parse(cls, url: str) -> Address:
        """Return the parts of a URL; a bare name means a serial port, a dash standard input.

        Parameters
        ----------
        url : str

        Returns
        -------
        Address

        Raises
        ------
        SpecificationError
            If it is empty, or gives an option twice.

        Examples
        --------
        >>> Address.parse("serial:///dev/ttyUSB0?baud=4800").place
        '/dev/ttyUSB0'
        >>> Address.parse("COM3").scheme, Address.parse("-").scheme
        ('serial', 'stdin')
        """
        if not url.strip():
            raise SpecificationError("The port is empty.", hint=f"Write one like {EXAMPLE}.")
        scheme, separator, rest = url.strip().partition("://")
        if url.strip() == "-":
            return cls("stdin", "")
        if not separator:
            scheme, rest = "serial", url.strip()
        place, _, query = rest.partition("?")
        return cls(scheme.lower(), unquote(place), _options(query))

    def __str__(self) -> str:
        query = "&".join(f"{name}={quote(value)}" for name, value in self.options.items())
        place = quote(self.place, safe="/:\\")
        return f"{self.scheme}://{place}" + (f"?{query}" if query else "")

    @property
    def stand_in(self) -> str:
        """What is there in place of a scale, in words; empty where there is a scale."""
        return _STAND_INS.get(self.scheme, "")

    def expect(self, *known: str) -> None:
        """Refuse options that the scheme does not have.

        Parameters
        ----------
        *known : str
            Names of the options it has.

        Raises
        ------
        SpecificationError
            If there is another, so that a misspelt option is never passed over.
        """
        unknown = [name for name in self.options if name not in known]
        if unknown:
            raise SpecificationError(
                f"A {self.scheme}:// port has no option '{unknown[0]}'.",
                hint=f"It has {', '.join(known) or 'none'}.",
            )

    def number(self, name: str, default: float, *, least: float = 0.0) -> float:
        """Return an option as a number.

        Parameters
        ----------
        name : str
        default : float
            Taken where the option is not given.
        least : float
            Smallest number that makes sense.

        Returns
        -------
        float

        Raises
        ------
        SpecificationError
            If it is not a number or below ``least``.
        """
        text = self.options.get(name)
        if text is None:
            return default
        try:
            number = float(text)
        except ValueError:
            number = float("nan")
        if not least <= number < float("inf"):
            raise SpecificationError(
                f"'{name}={text}' in the port must be a number, {least:g} or more."
            )
        return number

    def choice(self, name: str, default: str, allowed: tuple[str, ...]) -> str:
        """Return an option that is one of a few words.

        Parameters
        ----------
        name : str
        default : str
        allowed : tuple of str

        Returns
        -------
        str

        Raises
        ------
        SpecificationError
            If it is none of them.
        """
        word = self.options.get(name, default)
        if word not in allowed:
            raise SpecificationError(
                f"'{name}={word}' in the port is not known.",
                hint=f"Choose one of {', '.join(allowed)}.",
            )
        return word


def _options(query: str) -> dict[str, str]:
    options: dict[str, str] = {}
    for name, value in parse_qsl(query, keep_blank_values=True):
        if name in options:
            raise SpecificationError(
                f"The port gives '{name}' twice.", hint="Give each option once."
            )
        options[name] = value
    return options


def with_defaults(url: str, **options: str) -> str:
    """Return the URL with options added where it does not give them.

    Parameters
    ----------
    url : str
    **options : str

    Returns
    -------
    str

    Examples
    --------
    >>> with_defaults("simulated://?seed=2", seed="1", target="740")
    'simulated://?seed=2&target=740'
    """
    address = Address.parse(url)
    return str(Address(address.scheme, address.place, options | address.options))
