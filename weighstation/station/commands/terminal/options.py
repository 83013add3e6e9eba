"""Options as typed -> what was meant by them."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.quantities import MG_PER_G, mg_from_grams
from weighstation.specification import MOST_G, Limits, limit_faults
from weighstation.station.bench.wording import promised

if TYPE_CHECKING:
    from pathlib import Path

    from weighstation.metrology import Plate
    from weighstation.station.pages.place import Certificate

_GRAMS = re.compile(r"[+-]?(?:[0-9]+[.,]?[0-9]*|[.,][0-9]+)")
_BAND = ("--target", "--under", "--over")


def band_from(target: str | None, under: str | None, over: str | None) -> Limits | None:
    """Return the band that three options give, or None when none of them is given.

    Parameters
    ----------
    target, under, over : str, grams, or None

    Returns
    -------
    Limits or None

    Raises
    ------
    SpecificationError
        If only some are given, or no piece can meet the band.
    """
    given = {
        name: text
        for name, text in zip(_BAND, (target, under, over), strict=True)
        if text is not None
    }
    if not given:
        return None
    if len(given) < len(_BAND):
        raise SpecificationError("A band needs --target, --under and --over, all three, in grams.")
    target_mg, under_mg, over_mg = (mg_from_option(text, name) for name, text in given.items())
    faults = limit_faults(target_mg, under_mg, over_mg, names=_BAND)
    if faults:
        raise SpecificationError(
            "; ".join(faults) + ".",
            hint="Give them in grams, as in --target 740 --under 8 --over 8.",
            faults=faults,
        )
    return Limits(target_mg, under_mg, over_mg)


def band_needed(target: str | None, under: str | None, over: str | None) -> Limits:
    """Return the band that three options give.

    Parameters
    ----------
    target, under, over : str, grams, or None

    Returns
    -------
    Limits

    Raises
    ------
    SpecificationError
        If one is missing, or no piece can meet the band.
    """
    band = band_from(target, under, over)
    if band is None:
        raise SpecificationError("There is no band.", hint="Give --target, --under and --over.")
    return band


def mg_from_option(text: str, option: str) -> int:
    """Return grams of an option as milligrams; a decimal comma is as good as a point.

    Parameters
    ----------
    text : str, grams
    option : str
        What it was given with.

    Returns
    -------
    int, milligrams

    Raises
    ------
    SpecificationError
        If it is no number of grams that a bench could hold.

    Examples
    --------
    >>> mg_from_option("740,5", "--target"), mg_from_option("740.5", "--target")
    (740500, 740500)
    """
    typed = text.strip()
    if not _GRAMS.fullmatch(typed):
        raise SpecificationError(
            f"{option} '{typed}' is no number of grams.",
            hint="Write it with digits and at most one point or comma, like 740 or 740,5.",
        )
    mg = mg_from_grams(typed.replace(",", "."))
    if not abs(mg) < mg_from_grams(MOST_G):
        raise SpecificationError(
            f"{option} {typed} is no weight for a bench.",
            hint=f"Give it in grams, less than {MOST_G}.",
        )
    return mg


def load_from(load: str, option: str) -> int:
    """Return what a known load weighs.

    Parameters
    ----------
    load : str, grams
    option : str
        What it was given with.

    Returns
    -------
    int, milligrams

    Raises
    ------
    SpecificationError
        If it is no weight above 0.
    """
    load_mg = mg_from_option(load, option)
    if load_mg <= 0:
        raise SpecificationError(f"{option} must be more than 0 g.", hint="Give it in grams.")
    return load_mg


def division_from(division: str | None) -> int | None:
    """Return the scale's division as given.

    Parameters
    ----------
    division : str, grams, or None

    Returns
    -------
    int, milligrams, or None

    Raises
    ------
    SpecificationError
        If it is not at least a milligram.
    """
    if division is None:
        return None
    division_mg = mg_from_option(division, "--division")
    if division_mg < 1:
        raise SpecificationError(
            "--division must be 0.001 g or more.",
            hint="Give the step in which the scale counts, or leave it out: it is learned.",
        )
    return division_mg


def dough_from(dough: str | None) -> int | None:
    """Return the dough on the bench as given.

    Parameters
    ----------
    dough : str, grams, or None

    Returns
    -------
    int, milligrams, or None

    Raises
    ------
    SpecificationError
        If there is none of it.
    """
    if dough is None:
        return None
    dough_mg = mg_from_option(dough, "--dough")
    if dough_mg <= 0:
        raise SpecificationError(
            "--dough must be more than 0 g.", hint="Weigh the dough on the bench and give that."
        )
    return dough_mg


def refuse_too_little(dough_mg: int, target_mg: int, what: str) -> None:
    """Refuse a dough of which no piece can be made, as where kilograms were typed.

    Parameters
    ----------
    dough_mg, target_mg : int, milligrams
        On the bench, and of the smallest piece.
    what : str
        What the dough was given as, to begin a sentence with.

    Raises
    ------
    SpecificationError
        If it is less than a piece.
    """
    if dough_mg >= target_mg:
        return
    meant_mg = dough_mg * MG_PER_G
    raise SpecificationError(
        f"{what} {promised(dough_mg)} g is less than one piece of {promised(target_mg)} g.",
        hint=f"Give it in grams: did you mean {promised(meant_mg)}?"
        if meant_mg >= target_mg
        else "Give all the dough on the bench, in grams.",
    )


def rest_from(rest: str | None, option: str) -> int | None:
    """Return dough that was left or lost, as given.

    Parameters
    ----------
    rest : str, grams, or None
    option : str
        What it was given with.

    Returns
    -------
    int, milligrams, or None

    Raises
    ------
    SpecificationError
        If it is less than nothing.
    """
    if rest is None:
        return None
    rest_mg = mg_from_option(rest, option)
    if rest_mg < 0:
        raise SpecificationError(
            f"{option} must be 0 g or more.", hint="Weigh what there is and give that."
        )
    return rest_mg


def resume_from(*, resume: bool, fresh: bool) -> bool | None:
    """Return whether an interrupted batch is to be gone on with; None where nobody said.

    Parameters
    ----------
    resume, fresh : bool
        Whether each option was given.

    Returns
    -------
    bool or None

    Raises
    ------
    SpecificationError
        If both were given.
    """
    if resume and fresh:
        raise SpecificationError(
            "--resume and --fresh say opposite things.", hint="Give one of them, or neither."
        )
    return resume if resume or fresh else None


def refuse_no_text(text: str, what: str) -> None:
    """Refuse what no line of a journal can hold, before anything is written.

    Parameters
    ----------
    text : str
        As typed; bytes that are no UTF-8 stand in it as lone surrogates.
    what : str
        What it was given as, to begin a sentence with.

    Raises
    ------
    SpecificationError
        If it holds such bytes.
    """
    try:
        text.encode()
    except UnicodeEncodeError as exc:
        raise SpecificationError(
            f"{what} holds characters that are no text in UTF-8.",
            hint="Write it again without them.",
        ) from exc


def plate_from(cls: str | None, e: str | None, most: str | None) -> Plate | None:
    """Return the plate of a scale that three options give, or None when none of them is given.

    Parameters
    ----------
    cls : str or None
        Accuracy class.
    e, most : str, grams, or None
        Verification interval and Max.

    Returns
    -------
    Plate or None

    Raises
    ------
    SpecificationError
        If only some are given, or no scale can have this plate.
    """
    given = {"--class": cls, "--e": e, "--max": most}
    lacking = [name for name, text in given.items() if text is None]
    if len(lacking) == len(given):
        return None
    if cls is None or e is None or most is None:
        raise SpecificationError(
            f"A plate needs {' and '.join(lacking)} too.",
            hint="Give all three as they stand on the scale, as in --class III --e 1 --max 3000.",
        )
    from weighstation.metrology import Plate, accuracy_class  # noqa: PLC0415 - only here

    e_mg, most_mg = load_from(e, "--e"), load_from(most, "--max")
    return Plate(accuracy_class(cls), Decimal(e_mg) / 1000, Decimal(most_mg) / 1000)


def certificate_from(certificate: Path | None, key: Path | None) -> Certificate | None:
    """Return what makes HTTPS of the pages, or None where neither option is given.

    Parameters
    ----------
    certificate, key : Path or None

    Returns
    -------
    Certificate or None

    Raises
    ------
    SpecificationError
        If only one of both is given.
    """
    from weighstation.station.pages.place import Certificate  # noqa: PLC0415 - pages are rarely asked for

    if certificate is None and key is None:
        return None
    if certificate is None or key is None:
        raise SpecificationError(
            "A certificate and its key go together.", hint="Give both --certificate and --key."
        )
    return Certificate(certificate, key)
