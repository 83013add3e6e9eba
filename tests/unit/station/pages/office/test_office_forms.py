"""What a form may hold on its way to a command: worked by hand, after the command's own options."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.station.pages.office.bars import from_nothing, steps
from weighstation.station.pages.office.forms import (
    LABELS,
    WHAT_IF,
    NotTold,
    fields_of,
    in_fields,
    options_of,
    with_option,
)

GOOD = {
    "from": "2026-03-02",
    "to": "2.3.2026",
    "product": "Tin loaf",
    "aim": "lawful",
    "band": "6,5",
    "wage": "24",
}


def test_what_was_filled_in_becomes_one_word_each() -> None:
    fields = fields_of({**GOOD, "dough-cost": "  ", "other": "x"}, *GOOD, "dough-cost")

    assert GOOD == fields
    assert "--product=Tin loaf" in options_of(fields)
    assert len(GOOD) == len(options_of(fields))


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("from", "yesterday", "first day 'yesterday' is no day"),
        ("to", "2026-03-02; rm", "last day '2026-03-02; rm' is no day"),
        ("day", "--help", "day '--help' is no day"),
        ("band", "-5", "band '-5' is no number"),
        ("aim", "1e9", "scaling weight '1e9' is no number"),
        ("wage", "lawful", "wage 'lawful' is no number"),
        ("spread-times", "1" * 50, "spread '1111"),
        ("product", "a\nb", "no product of that name"),
        ("run", "r" * 300, "no batch of that name"),
    ],
)
def test_what_cannot_be_meant_is_refused_in_a_sentence(name: str, text: str, said: str) -> None:
    with pytest.raises(NotTold) as refused:
        fields_of({name: text}, name)

    assert said in str(refused.value)
    assert 400 == refused.value.status


@given(st.dictionaries(st.sampled_from(["from", "to", "product", "run", *WHAT_IF]), st.text()))
def test_whatever_is_typed_no_word_is_another_option(typed: dict[str, str]) -> None:
    try:
        options = options_of(fields_of(typed, *typed))
    except NotTold:
        return

    for word in options:
        name, equals, text = word.partition("=")
        assert name.removeprefix("--") in typed
        assert "=" == equals
        assert "\0" not in text
        assert "\n" not in text


def test_an_option_more_goes_before_what_is_no_option() -> None:
    words = ("dossier", "--from=2026-03-02", "--", "--", "-x")

    assert (*words[:2], "--json", *words[2:]) == with_option(words, "--json")
    assert ("today", "--json") == with_option(("today",), "--json")


@pytest.mark.parametrize(
    ("said", "shown"),
    [
        (
            "Choose other days with --from and --to.",
            "Choose other days with 'First day' and 'Last day'.",
        ),
        ("--spread-times is above 0.", "'Spread' is above 0."),
        ("Give --band, or --under and --over.", "Give 'Band', or --under and --over."),
        ("There is no product '--from'.", "There is no product '--from'."),
        ("Type 'weighstation check --day 1' first.", "Type 'weighstation check --day 1' first."),
        ("The shop's --day isn't one.", "The shop's 'Day' isn't one."),
        ("--toil --from-here", "--toil --from-here"),
    ],
)
def test_options_are_called_as_the_fields_and_names_and_commands_stay(
    said: str, shown: str
) -> None:
    assert shown == in_fields(said)


def test_every_field_has_a_label_and_no_two_the_same() -> None:
    assert {"from", "to", "day", "product", "run", "bands", *WHAT_IF} == set(LABELS)
    assert len(LABELS) == len(set(LABELS.values()))


@given(st.lists(st.floats(-1e4, 1e4), min_size=1, max_size=9))
def test_each_bar_begins_where_the_one_before_ended(figures: list[float]) -> None:
    *bars, together = steps(figures)
    ends = [bar.left if bar.is_less else bar.left + bar.wide for bar in bars]
    starts = [bar.left + bar.wide if bar.is_less else bar.left for bar in bars]

    assert starts[1:] == pytest.approx(ends[:-1], abs=1e-6)
    assert ends[-1] in (
        pytest.approx(together.left, abs=1e-6),
        pytest.approx(together.left + together.wide, abs=1e-6),
    )
    assert starts[0] == pytest.approx(bars[0].zero, abs=1e-6)
    assert all(-1e-9 <= bar.left <= bar.left + bar.wide <= 100 + 1e-6 for bar in bars)


def test_bars_are_as_long_as_their_figures() -> None:
    """Ten and minus thirty of forty in all: a quarter and three quarters, nothing between them."""
    plus, minus = from_nothing([10.0, -30.0])

    assert (75.0, 25.0) == (plus.left, plus.wide)
    assert (0.0, 75.0) == (minus.left, minus.wide)
    assert 75.0 == plus.zero == minus.zero
    assert [0.0, 0.0] == [bar.wide for bar in from_nothing([0.0, 0.0])]
