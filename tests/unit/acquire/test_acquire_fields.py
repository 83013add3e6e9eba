"""One line is taken apart into its number, its unit and its marks."""

from __future__ import annotations

import pytest

from weighstation.acquire.fields import Fields, Grammar, is_unit, read_fields, weight_number
from weighstation.quantities import Unit

G, KG, OZ, LB = Unit.GRAM, Unit.KILOGRAM, Unit.OUNCE, Unit.POUND


def parts(text: str, grammar: Grammar | None = None) -> Fields:
    fields = read_fields(text, grammar or Grammar())

    assert fields is not None
    return fields


@pytest.mark.parametrize(
    ("text", "before", "sign", "run", "unit", "after"),
    [
        ("  512.3", (), "", "512.3", None, ()),
        ("512,3g", (), "", "512,3", G, ()),
        ("ST,GS,+0512.3 g", ("ST", "GS"), "+", "0512.3", G, ()),
        ("ST,GS,-   12.3 g", ("ST", "GS"), "-", "12.3", G, ()),
        ("+ 512.3 g  S", (), "+", "512.3", G, ("S",)),
        ("512 g ?", (), "", "512", G, ("?",)),
        ("00512-", (), "-", "00512", None, ()),
        ("00512- kg", (), "-", "00512", KG, ()),
        ("S;0.512;KG", ("S",), "", "0.512", KG, ()),
        ("512 GRAM", (), "", "512", G, ()),
        ("1.50 Lbs", (), "", "1.50", LB, ()),
        ("kg +0.512 OK", (), "+", "0.512", KG, ("OK",)),
        ("G 512.3", ("G",), "", "512.3", None, ()),
        ("G 512.3 g", ("G",), "", "512.3", G, ()),
        ("512gST", (), "", "512", G, ("ST",)),
        ("512.g", (), "", "512.", G, ()),
        ("W,512.3,g", ("W",), "", "512.3", G, ()),
        ("W,5,g", ("W",), "", "5", G, ()),
        ("W, ,5 g", ("W",), "", ",5", G, ()),
        (".5 oz", (), "", ".5", OZ, ()),
        ("512 g;1", (), "", "512", G, ("1",)),
        ("512 g 17", (), "", "512", G, ("17",)),
        ("0017 512 g", ("#",), "", "512", G, ()),
        ("T 5 g G 512 g", ("T", "#", "g", "G"), "", "512", G, ()),
        ("T 5 g", ("T",), "", "5", G, ()),
        ("0.512 kg 1.129 lb", (), "", "0.512", KG, ("#", "lb")),
        ("\x02+0512g0\x03", (), "+", "0512", G, ("0",)),
    ],
)
def test_a_line_is_taken_apart(
    text: str, before: tuple[str, ...], sign: str, run: str, unit: Unit, after: tuple[str, ...]
) -> None:
    fields = parts(text)

    assert (before, sign, run, unit, after) == (
        fields.before,
        fields.sign,
        fields.run,
        fields.unit,
        fields.after,
    )
    assert text[fields.start : fields.end] == run
    assert not fields.refused


@pytest.mark.parametrize("text", ["", "OL", "-----", "ST,GS,  g", "\x81\x9c"])
def test_a_line_without_digits_holds_no_number(text: str) -> None:
    assert read_fields(text) is None


@pytest.mark.parametrize(
    ("text", "width"),
    [("512 g", 4), ("   512 g", 7), ("S   512 g", 7), ("S  -512   g", 9), ("ST,-512", 5)],
)
def test_the_width_reaches_from_mark_to_mark(text: str, width: int) -> None:
    assert width == parts(text).width


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("1 lb 6.3 oz", "pounds and ounces together"),
        ("1:06.3 lb:oz", "pounds and ounces together"),
        ("12 pcs", "the unit 'pcs'"),
        ("98.1 %", "the unit '%'"),
        ("2.5 ct", "the unit 'ct'"),
        ("74.2 dag", "the unit 'dag'"),
        ("742 ml", "the unit 'ml'"),
        ("26.10 fl oz", "the unit 'fl oz'"),
        ("26.10 Fl.Oz", "the unit 'fl oz'"),
        ("1 5/8 lb", "fractions or dates beside the weight"),
        ("23.86 oz t", "a troy unit"),
        ("23.86 t oz", "a troy unit"),
        ("2.00 lb.tr", "a troy unit"),
        ("23.86 oz T", ""),
    ],
)
def test_what_is_no_mass_of_ours_is_refused(text: str, words: str) -> None:
    assert words == parts(text).refused


@pytest.mark.parametrize(
    ("text", "spoilt"),
    [
        ("(1) g", True),
        ("N---1 g", True),
        ("W.742 g", True),
        ("(1 g)", False),
        ("-- 1 g", False),
        ("-1 g", False),
    ],
)
def test_what_may_be_an_unknown_minus_spoils_a_line(text: str, *, spoilt: bool) -> None:
    """Brackets are how accounts write a minus; read without it, 1 g stood for -1 g."""
    assert spoilt is parts(text).spoilt


def test_a_comma_that_parts_fields_ends_a_number() -> None:
    fields = parts("3,512.3,g", Grammar(comma_cuts=True))

    assert (fields.before, fields.run, fields.flags) == (("3",), "512.3", (0,))


def test_without_a_unit_the_grammar_says_which_number_it_is() -> None:
    assert parts("17 0512 4", Grammar(weight_number=1)).run == "0512"
    assert parts("17", Grammar(weight_number=1)).run == "17"
    assert parts("17 0512 g", Grammar(weight_number=0)).run == "0512"


@pytest.mark.parametrize(
    ("texts", "number"),
    [
        (["512", "0"], None),
        ([], None),
        (["0 00512", "4 00000"], 1),
        (["512 1", "0 1"], 0),
        (["100 7.5", "101 8.5"], 1),
        (["200 512", "200 517"], 1),
        (["12 +5", "13 +6"], 1),
    ],
)
def test_the_weight_is_the_number_that_looks_like_one(texts: list[str], number: int | None) -> None:
    assert number == weight_number(texts, Grammar())


def test_units_are_known_in_any_case() -> None:
    assert all(map(is_unit, ("g", "KG", "Oz", "lbs", "Gram")))
    assert not any(map(is_unit, ("gs", "t", "S", "")))
