"""A file of TOML -> the rule that it holds; the published rules come with the package."""

from __future__ import annotations

import tomllib
from contextlib import suppress
from datetime import date
from fractions import Fraction
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any

from weighstation.errors import SpecificationError
from weighstation.quantity.rule import SINGLE, Band, Plan, QuantityRule, Refused, SecondSample

if TYPE_CHECKING:
    from collections.abc import Mapping

PUBLISHED = ("eu-76-211", "nist-hb133", "oiml-r87")
"""The rules that come with the package."""
WHOLE = "all"
"""A sample that is the whole lot."""
_TOP = {
    "name",
    "title",
    "edition",
    "source",
    "noted",
    "advice",
    "deficiency",
    "packer",
    "mean",
    "plan",
    "refused",
}


def read_rule(text: str) -> QuantityRule:
    """Return the rule that a file of TOML holds, such as one of your own place.

    Parameters
    ----------
    text : str

    Returns
    -------
    QuantityRule

    Raises
    ------
    SpecificationError
        If the text is no rule; its message names what is wrong.
    """
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as exc:
        raise SpecificationError(f"This rule is no TOML: {exc}.") from exc
    return _Reader(table).rule()


@cache
def published_rule(name: str) -> QuantityRule:
    """Return a rule that comes with the package.

    Parameters
    ----------
    name : str

    Returns
    -------
    QuantityRule

    Raises
    ------
    SpecificationError
        If there is none of that name.
    """
    if name not in PUBLISHED:
        raise SpecificationError(
            f"There is no rule '{name}'.", hint=f"The rules are {', '.join(PUBLISHED)}."
        )
    return read_rule((files("weighstation.quantity") / "rules" / f"{name}.toml").read_text("utf-8"))


def rule_of(rule: str | QuantityRule) -> QuantityRule:
    """Return a rule by its name, or itself.

    Parameters
    ----------
    rule : str or QuantityRule

    Returns
    -------
    QuantityRule

    Raises
    ------
    SpecificationError
        If there is none of that name.
    """
    return rule if isinstance(rule, QuantityRule) else published_rule(rule)


class _Reader:
    """Reads one table and refuses what is missing, unknown or of another kind."""

    def __init__(self, table: Mapping[str, Any]) -> None:
        self._table = table
        self._sure: dict[str, str] = {}

    def rule(self) -> QuantityRule:
        table = self._table
        self._only(table, _TOP, "the rule")
        deficiency = self._part("deficiency", {"sure", "bands", "rounding", "least_g", "below"})
        packer = self._part("packer", {"sure", "t1_share", "t2_times", "t2_share"})
        mean = self._part("mean", {"sure", "confidence", "plain_below"})
        plans = tuple(self._plan(each) for each in self._list(table, "plan"))
        if not plans:
            raise SpecificationError("A rule needs at least one [[plan]].")
        return QuantityRule(
            name=self._text(table, "name"),
            title=self._text(table, "title"),
            edition=self._text(table, "edition"),
            source=self._text(table, "source"),
            noted=self._date(table),
            advice=self._text(table, "advice"),
            sure=self._sure,
            bands=self._bands(deficiency),
            takes_edge_below=bool(deficiency.get("below", False)),
            least_g=_share(deficiency.get("least_g", 0), "least_g"),
            rounding=tuple(
                (_share(each.get("to_g"), "to_g"), _share(each.get("step_g"), "step_g"))
                for each in self._list(deficiency, "rounding")
            ),
            t1_share=_optional(packer, "t1_share"),
            t2_times=_size(packer["t2_times"], "t2_times") if "t2_times" in packer else None,
            t2_share=_optional(packer, "t2_share"),
            confidence=_optional(mean, "confidence"),
            plain_below=_size(mean.get("plain_below", 1), "plain_below"),
            plans=plans,
            refused=tuple(
                Refused(
                    self._text(each, "kind") if "kind" in each else None,
                    _size(each.get("from"), "from"),
                    _size(each.get("to"), "to"),
                    self._text(each, "why"),
                )
                for each in self._list(table, "refused")
            ),
        )

    def _part(self, name: str, known: set[str]) -> Mapping[str, Any]:
        part = self._table.get(name)
        if not isinstance(part, dict):
            raise SpecificationError(f"A rule needs a table [{name}].")
        self._only(part, known, f"[{name}]")
        self._sure[name] = self._text(part, "sure")
        return part

    def _plan(self, each: Mapping[str, Any]) -> Plan:
        self._only(
            each, {"kind", "sure", "from", "to", "sample", "t1", "t1_share", "second"}, "a [[plan]]"
        )
        self._text(each, "sure")
        sample, t1 = each.get("sample"), each.get("t1")
        share = _optional(each, "t1_share")
        if not (sample == WHOLE or isinstance(sample, int)) or (t1 is None) == (share is None):
            raise SpecificationError(
                "A [[plan]] needs a sample (a number, or 'all') and either t1 or t1_share."
            )
        first, last = _size(each.get("from"), "from"), _size(each.get("to"), "to")
        if last < first:
            raise SpecificationError("A [[plan]] is from one size of lots to another.")
        return Plan(
            kind=self._text(each, "kind") if "kind" in each else SINGLE,
            first=first,
            last=last,
            sample=None if sample == WHOLE else int(sample),
            t1=t1,
            t1_share=share,
            second=self._second(each) if "second" in each else None,
        )

    def _second(self, plan: Mapping[str, Any]) -> SecondSample:
        part = plan["second"]
        if not isinstance(part, dict):
            raise SpecificationError("'second' of a [[plan]] is a table.")
        self._only(part, {"below", "sample", "t1"}, "'second'")
        below, sample, t1 = (_size(part.get(key), key) for key in ("below", "sample", "t1"))
        if "t1" not in plan or plan["sample"] == WHOLE or not plan["t1"] + 1 < below <= t1 + 1:
            raise SpecificationError(
                "A second sample follows a first one of so many pieces with t1 allowed; 'below' is"
                " at least two more than that, and its own t1 at least one less than 'below'."
            )
        if plan["sample"] + sample > _size(plan.get("from"), "from"):
            raise SpecificationError("Both samples of a [[plan]] fit into the smallest lot.")
        return SecondSample(below, sample, t1)

    def _bands(self, part: Mapping[str, Any]) -> tuple[Band, ...]:
        bands = []
        for each in self._list(part, "bands"):
            self._only(each, {"to_g", "percent", "grams"}, "a band")
            if ("percent" in each) == ("grams" in each):
                raise SpecificationError("A band tolerates either a percent or grams.")
            percent, grams = _optional(each, "percent"), _optional(each, "grams")
            bands.append(Band(_share(each.get("to_g"), "to_g"), percent, grams))
        edges = [band.to_g for band in bands]
        if not bands or edges != sorted(set(edges)):
            raise SpecificationError("A rule needs bands, each up to more grams than the last.")
        return tuple(bands)

    @staticmethod
    def _only(part: Mapping[str, Any], known: set[str], where: str) -> None:
        strange = sorted(set(part) - known)
        if strange:
            raise SpecificationError(
                f"There is no '{strange[0]}' in {where}.",
                hint=f"It may hold {', '.join(sorted(known))}.",
            )

    @staticmethod
    def _text(part: Mapping[str, Any], key: str) -> str:
        text = part.get(key)
        if not isinstance(text, str) or not text.strip():
            raise SpecificationError(f"A rule says its '{key}' in words.")
        return text

    @staticmethod
    def _list(part: Mapping[str, Any], key: str) -> list[Mapping[str, Any]]:
        found = part.get(key, [])
        if not isinstance(found, list) or not all(isinstance(each, dict) for each in found):
            raise SpecificationError(f"'{key}' of a rule is a list of tables.")
        return found

    @staticmethod
    def _date(part: Mapping[str, Any]) -> date:
        noted = part.get("noted")
        if not isinstance(noted, date):
            raise SpecificationError("A rule says when it was noted, as in noted = 2026-03-02.")
        return noted


def _optional(part: Mapping[str, Any], key: str) -> Fraction | None:
    return None if key not in part else _share(part[key], key)


def _share(number: object, key: str) -> Fraction:
    """Return a number as it is written; text keeps its decimals exact."""
    found: Fraction | None = None
    if isinstance(number, (int, str)) and not isinstance(number, bool):
        with suppress(ValueError, ZeroDivisionError):
            found = Fraction(number)
    if found is None or found < 0:
        raise SpecificationError(
            f"'{key}' of a rule is a number from 0 up, as in {key} = 2 or {key} = \"2.5\"."
        )
    return found


def _size(number: object, key: str) -> int:
    if not isinstance(number, int) or isinstance(number, bool) or number < 1:
        raise SpecificationError(f"'{key}' of a rule is a whole number from 1 up.")
    return number
