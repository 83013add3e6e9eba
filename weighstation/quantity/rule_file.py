"""A file of TOML -> the rule that it holds; the published rules come with the package."""

from __future__ import annotations

import tomllib
from fractions import Fraction
from functools import cache
from importlib.resources import files
from itertools import pairwise

from weighstation.errors import SpecificationError
from weighstation.quantities import in_words
from weighstation.quantity.rule import SINGLE, Band, Plan, QuantityRule, Refused, SecondSample
from weighstation.quantity.rule_kinds import DAY, FLAG, LINE, number, share, whole
from weighstation.quantity.rule_table import RuleTable
from weighstation.specification import PUBLISHED_RULES
from weighstation.specification.kinds import Kind

WHOLE = "all"
"""A sample that is the whole lot."""
USUAL_DIVISIONS = 5
USUAL_SCALE = "as in Directive 76/211/EEC, annex II 1.3, because this rule does not say it"
"""How fine a scale has to be by a rule that does not say it."""


def read_rule(text: str | bytes, *, source: str = "the rule file") -> QuantityRule:
    """Return the rule that a file of TOML holds, such as one of your own place.

    Parameters
    ----------
    text : str or bytes
        The file; bytes are taken as UTF-8.
    source : str
        What to call the file in a message.

    Returns
    -------
    QuantityRule

    Raises
    ------
    SpecificationError
        If the text is no rule; its message names the file, the key and what it should be.
    """
    if not isinstance(text, (str, bytes)):
        raise SpecificationError(f"{source} is read as text or bytes, not {in_words(text)}.")
    top = RuleTable(_tables(text, source), "", source)
    top.only(
        *("name", "title", "edition", "source", "noted", "advice"),
        *("deficiency", "packer", "mean", "scale", "plan", "refused"),
    )
    deficiency, packer, mean = (top.table(key) for key in ("deficiency", "packer", "mean"))
    scale = top.table("scale") if "scale" in top else None
    deficiency.only("sure", "bands", "rounding", "least_g", "below")
    packer.only("sure", "t1_share", "t2_times", "t2_share")
    mean.only("sure", "confidence", "plain_below")
    bands, plans = _bands(deficiency), _plans(top)
    t2_times, t2_share = _outer(packer)
    return QuantityRule(
        name=top.need("name", LINE),
        title=top.need("title", LINE),
        edition=top.need("edition", LINE),
        source=top.need("source", LINE),
        noted=top.need("noted", DAY),
        advice=top.need("advice", LINE),
        sure={
            "deficiency": deficiency.need("sure", LINE),
            "packer": packer.need("sure", LINE),
            "mean": mean.need("sure", LINE),
            "scale": scale.need("sure", LINE) if scale else USUAL_SCALE,
        },
        bands=bands,
        takes_edge_below=deficiency.take("below", FLAG, usual=False),
        least_g=deficiency.take("least_g", number(below=bands[-1].to_g), usual=Fraction()),
        rounding=_rounding(deficiency),
        t1_share=packer.take("t1_share", share(), usual=None),
        t2_times=t2_times,
        t2_share=t2_share,
        confidence=mean.take("confidence", share(least="0.5"), usual=None),
        plain_below=mean.take("plain_below", whole(), usual=1),
        least_divisions=_least_divisions(scale),
        plans=plans,
        refused=_refused(top, plans),
    )


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
    if not isinstance(name, str) or name not in PUBLISHED_RULES:
        raise SpecificationError(
            f"There is no rule {in_words(name)}.",
            hint=f"The rules are {', '.join(PUBLISHED_RULES)}.",
        )
    return _published(name)


@cache
def _published(name: str) -> QuantityRule:
    file = files("weighstation.quantity") / "rules" / f"{name}.toml"
    return read_rule(file.read_bytes(), source=file.name)


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
        If there is none of that name, or it is something else.
    """
    if isinstance(rule, QuantityRule):
        return rule
    if not isinstance(rule, str):
        raise SpecificationError(
            f"A rule is a name, or what read_rule returned, not {in_words(rule)}.",
            hint=f"The names are {', '.join(PUBLISHED_RULES)}.",
        )
    return published_rule(rule)


def _tables(text: str | bytes, source: str) -> dict[str, object]:
    try:
        decoded = text.decode("utf-8") if isinstance(text, bytes) else text
    except UnicodeDecodeError as exc:
        raise SpecificationError(
            f"{source} is not UTF-8: byte {exc.start + 1} cannot be read.",
            hint="Save the file as UTF-8.",
        ) from exc
    try:
        return tomllib.loads(decoded.removeprefix("\ufeff"))
    except (ValueError, RecursionError) as exc:  # bad TOML, or a number or nesting past all bounds
        raise SpecificationError(
            f"{source} is not valid TOML: {exc}.", hint="Mend that line."
        ) from exc


def _bands(deficiency: RuleTable) -> tuple[Band, ...]:
    rows = deficiency.rows("bands", "band")
    bands = tuple(_band(row) for row in rows)
    for row, (band, following) in zip(rows[1:], pairwise(bands), strict=True):
        if following.to_g <= band.to_g:
            raise row.fault("to_g", "must be more than that of the band before it")
    return bands


def _band(row: RuleTable) -> Band:
    row.only("to_g", "percent", "grams")
    to_g = _positive(row, "to_g")
    if ("percent" in row) == ("grams" in row):
        raise row.fault("percent", "or 'grams' must be there, and not both")
    percent = row.take("percent", number(below=100), usual=None)
    return Band(to_g, percent, row.take("grams", number(below=to_g), usual=None))


def _positive(row: RuleTable, key: str) -> Fraction:
    found = row.need(key, number())
    if not found:
        raise row.fault(key, "must be more than 0")
    return found


def _rounding(deficiency: RuleTable) -> tuple[tuple[Fraction, Fraction], ...]:
    rows = deficiency.rows("rounding", "step", least=0)
    for row in rows:
        row.only("to_g", "step_g")
    steps = tuple((_positive(row, "to_g"), _positive(row, "step_g")) for row in rows)
    for row, (step, following) in zip(rows[1:], pairwise(steps), strict=True):
        if following[0] <= step[0]:
            raise row.fault("to_g", "must be more than that of the step before it")
    return steps


def _outer(packer: RuleTable) -> tuple[int | None, Fraction | None]:
    """Return the outer limit; its share is what an aim is worked out with, so both or none."""
    if "t2_times" not in packer and "t2_share" not in packer:
        return None, None
    times, outer = packer.need("t2_times", whole()), packer.need("t2_share", share())
    if not outer:
        raise packer.fault("t2_share", "must be more than 0, as no aim keeps every piece")
    return times, outer


def _least_divisions(scale: RuleTable | None) -> int:
    if scale is None:
        return USUAL_DIVISIONS
    scale.only("sure", "least_divisions")
    return scale.need("least_divisions", whole())


def _plans(top: RuleTable) -> tuple[Plan, ...]:
    rows = top.rows("plan", "[[plan]]")
    plans = tuple(_plan(row) for row in rows)
    for place, (row, plan) in enumerate(zip(rows, plans, strict=True)):
        if any(_overlap(plan, other) for other in plans[:place] if other.kind == plan.kind):
            raise row.fault("from", "must be beyond the lots of the other plans of its kind")
    return plans


def _plan(row: RuleTable) -> Plan:
    row.only("kind", "sure", "from", "to", "sample", "t1", "t1_share", "second")
    row.need("sure", LINE)
    first, last = _span(row)
    sample = row.need("sample", _sample(first)) or None
    if ("t1" in row) == ("t1_share" in row):
        raise row.fault("t1", "or 't1_share' must be there, and not both")
    t1 = row.take("t1", whole(0, (sample or first) - 1), usual=None)
    return Plan(
        kind=row.take("kind", LINE, usual=SINGLE),
        first=first,
        last=last,
        sample=sample,
        t1=t1,
        t1_share=row.take("t1_share", share(), usual=None),
        second=_second(row, sample, t1) if "second" in row else None,
    )


def _span(row: RuleTable) -> tuple[int, int]:
    first = row.need("from", whole())
    return first, row.need("to", whole(first))


def _sample(most: int) -> Kind[int]:
    """Return the kind of a size of a sample; 0 is the whole lot."""
    some = whole(1, most, else_=f', or "{WHOLE}"')
    return Kind(some.word, lambda given: 0 if given == WHOLE else some.take(given))


def _second(row: RuleTable, sample: int | None, t1: int | None) -> SecondSample:
    if sample is None or t1 is None:
        raise row.fault("second", "must follow a 'sample' of so many pieces with a 't1'")
    second = row.table("second")
    second.only("below", "sample", "t1")
    more = second.need("sample", whole(1, row.need("from", whole()) - sample))
    both = second.need("t1", whole(t1 + 1, sample + more - 1))
    return SecondSample(second.need("below", whole(t1 + 2, both + 1)), more, both)


def _refused(top: RuleTable, plans: tuple[Plan, ...]) -> tuple[Refused, ...]:
    rows = top.rows("refused", "[[refused]]", least=0)
    return tuple(_refusal(row, plans) for row in rows)


def _refusal(row: RuleTable, plans: tuple[Plan, ...]) -> Refused:
    row.only("kind", "from", "to", "why")
    kind = row.take("kind", LINE, usual=None)
    refused = Refused(kind, *_span(row), row.need("why", LINE))
    same = [plan for plan in plans if kind in {None, plan.kind}]
    if not same:
        raise row.fault("kind", "must be that of a plan")
    if any(_overlap(plan, refused) for plan in same):
        raise row.fault("from", "must be beyond the lots that a plan is for")
    return refused


def _overlap(one: Plan | Refused, other: Plan | Refused) -> bool:
    return one.first <= other.last and other.first <= one.last
