"""Options as they are typed: what is meant by them, and what nobody can have meant."""

from __future__ import annotations

import pytest

from weighstation.errors import SpecificationError
from weighstation.specification import Limits
from weighstation.station.commands.terminal import options


@pytest.mark.parametrize(
    ("typed", "mg"),
    [
        ("740", 740_000),
        ("740.5", 740_500),
        ("740,5", 740_500),
        (" 740,5 ", 740_500),
        ("1,234", 1_234),
        (",5", 500),
        ("740.", 740_000),
        ("+8", 8_000),
        ("-8", -8_000),
        ("999999,999", 999_999_999),
    ],
)
def test_grams_are_read_with_a_point_or_a_comma(typed: str, mg: int) -> None:
    assert mg == options.mg_from_option(typed, "--target")


@pytest.mark.parametrize(
    "typed", ["", "heavy", "nan", "inf", "1e3", "1_000", "1,234.5", "1.234,5", "1,2,3", "740 g"]
)
def test_what_is_no_number_of_grams_is_refused_by_the_name_of_its_option(typed: str) -> None:
    with pytest.raises(SpecificationError) as refused:
        options.mg_from_option(typed, "--target")

    assert refused.value.sentence.startswith(f"--target '{typed}' is no number of grams. Write ")


@pytest.mark.parametrize("typed", ["1000000", "-1000000", "9" * 400])
def test_a_weight_for_no_bench_is_refused_with_advice(typed: str) -> None:
    with pytest.raises(SpecificationError) as refused:
        options.mg_from_option(typed, "--dough")

    assert refused.value.sentence == (
        f"--dough {typed} is no weight for a bench. Give it in grams, less than 1000000."
    )


def test_a_band_is_three_options() -> None:
    assert Limits(740_500, 8_000, 8_500) == options.band_from("740,5", "8", "8.5")
    assert options.band_from(None, None, None) is None
    with pytest.raises(SpecificationError, match="all three"):
        options.band_from("740", None, "8")
    with pytest.raises(SpecificationError, match="There is no band"):
        options.band_needed(None, None, None)


@pytest.mark.parametrize(
    ("band", "says"),
    [
        (("0", "8", "8"), "--target must be more than 0 g."),
        (("740", "-1", "8"), "--under must be 0 g or more."),
        (("740", "740", "8"), "--under must be less than --target."),
    ],
)
def test_a_band_that_no_piece_can_meet_names_its_options(
    band: tuple[str, str, str], says: str
) -> None:
    with pytest.raises(SpecificationError) as refused:
        options.band_from(*band)

    assert refused.value.sentence == f"{says} {refused.value.hint}"
    assert refused.value.hint.startswith("Give them in grams, as in ")


def test_a_division_is_a_milligram_or_more() -> None:
    assert options.division_from(None) is None
    assert options.division_from("0,1") == 100
    with pytest.raises(SpecificationError, match="--division must be 0"):
        options.division_from("0.0001")


def test_there_is_some_dough_or_nothing_is_said_of_it() -> None:
    assert options.dough_from(None) is None
    assert options.dough_from("30000") == 30_000_000
    with pytest.raises(SpecificationError, match="--dough must be more than 0 g"):
        options.dough_from("0")


def test_what_is_left_is_nothing_or_more() -> None:
    assert options.rest_from(None, "--left") is None
    assert options.rest_from("0", "--left") == 0
    with pytest.raises(SpecificationError, match="--loss must be 0 g or more"):
        options.rest_from("-1", "--loss")


@pytest.mark.parametrize(
    ("resume", "fresh", "meant"), [(True, False, True), (False, True, False), (False, False, None)]
)
def test_an_interrupted_batch_is_gone_on_with_or_left(
    resume: bool, fresh: bool, meant: bool | None
) -> None:
    assert meant is options.resume_from(resume=resume, fresh=fresh)


def test_opposite_wishes_for_an_interrupted_batch_are_refused() -> None:
    with pytest.raises(SpecificationError, match="--resume and --fresh say opposite things"):
        options.resume_from(resume=True, fresh=True)


def test_bytes_that_are_no_text_are_refused() -> None:
    options.refuse_no_text("Brötchen", "The note")
    with pytest.raises(SpecificationError, match="The note holds characters that are no text"):
        options.refuse_no_text("\udcff", "The note")
