"""Lines in, readings out: literal tables."""

from __future__ import annotations

import random
import tracemalloc

import pytest

from weighstation.acquire import Counts, Decoder
from weighstation.acquire.decoder import MANY_UNREAD_BYTES
from weighstation.events import DivisionLearned, Reading, Status
from weighstation.quantities import Unit

Item = Reading | DivisionLearned


def fed(lines: list[str], decoder: Decoder | None = None, *, end: str = "\r\n") -> list[Item]:
    """Feed a line every tenth of a second, from 0.1 s on, and end the stream."""
    decoder = decoder or Decoder()
    out: list[Item] = []
    for place, line in enumerate(lines, start=1):
        out += decoder.feed((line + end).encode("latin-1"), place / 10)
    return out + decoder.finish()


def said(lines: list[str], decoder: Decoder | None = None, *, end: str = "\r\n") -> list[object]:
    """Return grams of each reading, or the first letter of its state."""
    letters = {Status.OVERLOAD: "O", Status.UNDERLOAD: "U", Status.UNREADABLE: "?"}
    return [
        letters.get(item.status) or (item.gross_mg or 0) / 1000
        for item in fed(lines, decoder, end=end)
        if isinstance(item, Reading)
    ]


def divisions(items: list[Item]) -> list[tuple[int, int]]:
    return [
        (place, item.division_mg)
        for place, item in enumerate(items)
        if isinstance(item, DivisionLearned)
    ]


def test_nothing_is_given_before_the_third_line_and_then_all_with_their_own_times() -> None:
    decoder = Decoder()
    line = b"S +00651 g\r\n"

    assert decoder.feed(line, 0.1) == []
    assert decoder.feed(line, 0.2) == []
    assert decoder.profile is None
    assert decoder.counts == Counts(0, 0, 0, 0)
    assert decoder.feed(line, 0.3) == [
        DivisionLearned(0.1, 1000),
        *(Reading(t_s, 651_000, None, Status.WEIGHT, "S +00651 g") for t_s in (0.1, 0.2, 0.3)),
    ]
    assert decoder.feed(line, 0.4) == [Reading(0.4, 651_000, None, Status.WEIGHT, "S +00651 g")]
    assert decoder.counts == Counts(4, 0, 0, 0)


@pytest.mark.parametrize(
    ("lines", "weights"),
    [
        (["51 g", "+00651 g", "+00651 g", "+00000 g", "51 g"], ["?", 651, 651, 0, "?"]),
        (["S,+00651 g", "ST,+00651 g", "ST,+00651 g", "ST,+00651 g"], [651, 651, 651, 651]),
        (["GS,+0651 g", "ST,GS,+0651 g", "ST,GS,+0651 g", "ST,GS,+0651 g"], ["?", 651, 651, 651]),
        (["2.3 g", "512.3 g", "512.3 g", "0.0 g"], ["?", 512.3, 512.3, 0]),
        (["0.0 g", "0.0 g", "0.0 g", "512.3 g", "12.3 g"], [0, 0, 0, 512.3, "?"]),
        (["\x81\x99", "@x1.", "651 g", "651 g", "651 g"], ["?", "?", 651, 651, 651]),
        (["ST,GS,+651 g"] * 3 + ["ST,GS,+651 gST,GS,+651 g"], [651] * 3 + ["?"]),
        (["0651 g"] * 3 + ["06510651 g", "065", "0651 g"], [651] * 3 + ["?", "?", 651]),
        (["0651 g", "0652 g"], [651, 652]),
        (["0651 g"], [651]),
        (["651 g", "51 g"], [651, "?"]),
        (["651 g", "6.5 g", "65.12 g", "6.52 g", "6.53 g"], ["?", "?", 65.12, 6.52, 6.53]),
        (["OL", "OL", "651 g", "651 g", "651 g"], ["O", "O", 651, 651, 651]),
    ],
)
def test_torn_lines_and_garbage_are_no_weights(lines: list[str], weights: list[object]) -> None:
    assert weights == said(lines)


def test_lines_that_are_never_recognised_are_given_as_states() -> None:
    decoder = Decoder()
    lines = ["hello", "OL", "------"] * 7

    assert said(lines, decoder) == ["?", "O", "O"] * 7
    assert decoder.counts == Counts(21, 7, 14, 0)
    assert decoder.profile is None
    assert decoder.refusal == ""


@pytest.mark.parametrize(
    ("lines", "states"),
    [
        (["ST,GS,   OL   g", "ST,GS,+------- g"], ["O", "O"]),
        (["OL,GS,+9999.9 g", "UL,GS,-9999.9 g"], ["O", "U"]),
        (["ST,GS,        g", "ST,GS,-        g"], ["O", "U"]),
        (["ST,GS,  g", "ST,GS", ""], ["?", "?"]),
        (["XX,YY,        g", "ST,GS,ab    c g"], ["?", "?"]),
    ],
)
def test_states_amid_weights(lines: list[str], states: list[str]) -> None:
    assert [512.3] * 3 + states + [512.3] == said(
        ["ST,GS,+0512.3 g"] * 3 + lines + ["ST,GS,+0512.3 g"]
    )


def test_a_blank_or_dashed_number_below_zero_is_underload() -> None:
    lines = ["S  -0012.3 g"] * 3 + ["S          g", "S  ------- g"]

    assert said(lines) == [-12.3] * 3 + ["U", "U"]


def test_a_key_that_changes_the_unit_is_followed_at_once() -> None:
    lines = ["651 g"] * 3 + ["0.651 kg", "22.96 oz", "22.97 oz", "1.435 lb", "1.436 lb", "651 g"]

    assert said(lines) == [651] * 3 + [651, 650.905, 651.189, 650.905, 651.359, 651]


def test_a_unit_that_changed_with_the_load_is_believed_the_third_time() -> None:
    assert said(["651 g"] * 3 + ["0.302 kg"] * 4) == [651] * 3 + ["?", "?", 302, 302]
    assert said(["651 g"] * 3 + ["0,302 kg"] * 4) == [651] * 3 + ["?", "?", 302, 302]


def test_lines_that_name_no_unit_follow_the_one_named_last() -> None:
    moving, still = "  0.512   ", "  0.512 lb"
    lines = [moving] * 3 + [still] * 4 + [moving] * 2

    assert said(lines) == [512] * 3 + ["?", "?"] + [232.239] * 4


def test_one_line_with_a_unit_does_not_change_lines_that_name_none() -> None:
    lines = ["    0"] * 3 + ["0.000 kg"] + ["  512"] * 2

    assert said(lines) == [0] * 3 + ["?", 512, 512]


def test_strangers_that_come_in_pairs_are_believed_the_third_time() -> None:
    lines = ["S 651 g"] * 3 + ["651 g", "651 g", "S 651 g"] * 3

    assert said(lines) == [651] * 3 + ["?", "?", 651] * 2 + ["?", 651, 651]


def test_three_lines_in_a_row_break_a_wrong_notion_of_the_width() -> None:
    lines = ["  651 g", "    0 g", "  651 g"] + ["651 g"] * 4 + ["   7 g"]

    assert said(lines) == [651, 0, 651, "?", "?", 651, 651, 7]


@pytest.mark.parametrize(
    ("lines", "words"),
    [
        (["1 lb 6.3 oz"] * 9, "pounds and ounces together"),
        (["12 pcs"] * 9, "the unit 'pcs'"),
    ],
)
def test_what_is_no_mass_is_refused_in_words(lines: list[str], words: str) -> None:
    decoder = Decoder()

    assert said(lines, decoder) == ["?"] * 9
    assert decoder.refusal == f"The scale shows {words}; set it to g, kg, oz or lb."


@pytest.mark.parametrize("wrong", [b"\x81\xfe\x9c.\xe0", b"\xb2\x93\xa1\n", b"hello there\r\n"])
def test_a_line_that_is_set_wrong_is_said_to_be_unreadable(wrong: bytes) -> None:
    decoder = Decoder()
    decoder.feed(wrong * (MANY_UNREAD_BYTES // len(wrong) - 1), 0.0)
    soon = decoder.refusal
    decoder.feed(wrong * 2, 1.0)
    late = decoder.refusal
    decoder.feed(b"\r\n" + b"   651 g\r\n" * 9, 2.0)

    assert "" == soon
    assert late.startswith("What comes from the scale cannot be read")
    assert "" == decoder.refusal


def test_a_unit_that_is_changed_in_mid_run_is_refused_at_once_and_forgiven_at_once() -> None:
    decoder = Decoder()
    decoder.feed(b"   651 g\r\n" * 9, 0.0)
    for _ in range(5):
        decoder.feed(b"   651 g\r\n", 0.0)
    decoder.feed(b"    12 pcs\r\n", 1.0)
    counting = decoder.refusal
    decoder.feed(b"   651 g\r\n", 2.0)

    assert "The scale shows the unit 'pcs'; set it to g, kg, oz or lb." == counting
    assert "" == decoder.refusal


def test_an_overload_is_read_however_long_it_lasts() -> None:
    decoder = Decoder()
    decoder.feed(b"   651 g\r\n" * 9, 0.0)
    for _ in range(200):
        decoder.feed(b"    OL  \r\n", 1.0)

    assert "" == decoder.refusal


def test_noise_on_the_line_is_not_remembered_for_ever() -> None:
    rng = random.Random(1)
    decoder = Decoder()
    decoder.feed(b"ST,GS,+  651 g\r\n" * 9, 0.0)

    def noise() -> int:
        for _ in range(1500):
            mark = "".join(rng.choices("abcdefghijklmnopqrstuvwxyz", k=6))
            decoder.feed(f"{mark},GS,+  {rng.randrange(1000):3} g\r\n".encode(), 0.0)
        return tracemalloc.get_traced_memory()[0]

    tracemalloc.start()
    try:
        first = noise()
        grown = max(noise() for _ in range(4)) - first
    finally:
        tracemalloc.stop()

    assert grown < 100_000  # a mark kept for each line would be 1 MB more


def test_pounds_and_ounces_in_mid_run_are_refused() -> None:
    assert said(["1.435 lb"] * 3 + ["1 lb 6.3 oz"] * 5) == [650.905] * 3 + ["?"] * 5


@pytest.mark.parametrize(
    ("lines", "weights"),
    [
        (["1,234 g"] * 4 + ["0 g", "999 g"], [1234] * 4 + [0, 999]),
        (["1,234 g"] * 5 + ["0,512 g"] * 5, [1234] * 5 + ["?"] + [0.512] * 4),
        (["1,234 kg"] * 5 + ["0,512 kg", "1,234 kg"], [1234] * 5 + [512, 1234]),
        (["1.234 kg"] * 5 + ["512 kg"] * 5, [1234] * 5 + ["?"] + [512_000] * 4),
        (["1.234 kg"] * 5 + ["512 kg", "1.234 kg", "512 kg"], [1234] * 5 + ["?", 1234, "?"]),
        (["1,234 kg"] * 5 + ["1,235 kg x y z"] * 2, [1234] * 5 + ["?", "?"]),
        (["1.234,5 g"] * 3 + ["999,5 g"], [1234.5] * 3 + [999.5]),
        (["1,234"] * 5, [1234] * 5),
    ],
)
def test_an_unclear_decimal_sign_is_guessed_after_five_lines_and_corrected(
    lines: list[str], weights: list[float]
) -> None:
    assert weights == said(lines)


def test_an_unclear_decimal_sign_is_guessed_when_the_stream_ends() -> None:
    assert said(["1,234 g"] * 3) == [1234] * 3


def test_decimals_are_those_the_port_prints() -> None:
    assert said(["512.3 g"] * 3 + ["512.35 g", "512 g", "512.4 g"]) == [512.3] * 3 + [
        "?",
        "?",
        512.4,
    ]


@pytest.mark.parametrize("step_g", ["0.1", "0.2", "0.5", "1", "2", "5"])
def test_the_division_comes_before_the_reading_that_showed_it(step_g: str) -> None:
    places = 1 if "." in step_g else 0
    printed = [f"{float(step_g) * step:9.{places}f} g" for step in range(1, 30)]
    out = fed(printed)
    first_mg, learned_mg = (100 if places else 1000), int(float(step_g) * 1000)

    expected = [(0, first_mg)] + ([(12, learned_mg)] if learned_mg != first_mg else [])

    assert expected == divisions(out)


def test_a_value_between_the_divisions_makes_them_finer_before_it_is_given() -> None:
    out = fed([f"{5 * step:6d} g" for step in range(1, 20)] + ["   651 g"])

    assert [(0, 1000), (12, 5000), (21, 1000)] == divisions(out)
    assert out[-2] == DivisionLearned(2.0, 1000)


@pytest.mark.parametrize(
    ("line", "division_mg"),
    [("0.651 kg", 1000), ("22.95 oz", 283), ("1.435 lb", 454), ("0.6512 kg", 100), ("0.0001 g", 1)],
)
def test_the_first_division_is_the_last_printed_place(line: str, division_mg: int) -> None:
    assert [(0, division_mg)] == divisions(fed([line] * 3))


def test_a_given_division_is_said_once_and_kept() -> None:
    out = fed([f"{5 * step:6d} g" for step in range(1, 30)], Decoder(division_mg=2000))

    assert [(0, 2000)] == divisions(out)


def test_the_division_of_another_unit_is_said_when_it_changes() -> None:
    out = fed(["651 g"] * 3 + ["0.65 kg", "651 g"])

    assert [1000, 10_000, 1000] == [division_mg for _, division_mg in divisions(out)]


def test_a_profile_tells_what_was_learned() -> None:
    decoder = Decoder()
    fed(["ST,GS,+0512,5 g"] * 3, decoder)
    profile = decoder.profile

    assert profile is not None
    assert (profile.unit, profile.decimals, profile.decimal_sign) == (Unit.GRAM, 1, ",")
    assert profile.shape == (
        "2 marks before a number with 1 decimal after a comma in g, no marks after it"
    )
    assert profile.stable_mark is None
    assert profile.division_mg == 100


def test_a_profile_says_what_a_number_without_a_unit_is_taken_for() -> None:
    decoder = Decoder()
    fed(["   0.512"] * 3, decoder)

    assert "3 decimals after a point with no unit, taken as kg" in str(decoder.profile)


def test_more_forms_of_lines_than_are_kept_are_still_read() -> None:
    words = [f"{chr(97 + one)}{chr(97 + two)}" for one in range(26) for two in range(24)]
    lines = ["xx 651 g"] * 3 + [f"{word} 651 g" for word in words if word not in ("ol", "ul")]

    assert set(said(lines)) == {651}


def test_more_weights_than_are_kept_are_still_read() -> None:
    lines = [f"{value:7d} g" for value in range(5000)]

    assert said(lines) == list(range(5000))


def test_a_frame_ends_with_its_etx_and_check_characters_are_dropped() -> None:
    frame = "\x02+00651g0\x03"
    checks = ["K", "7", "+", "\x03", "?\x7f"]

    assert said([frame + check for check in checks]) == [651] * 5
    assert said([frame + "x" for _ in range(4)], end="") == [651] * 4


def test_the_weight_is_the_number_that_looks_like_one() -> None:
    lines = ["1 00512", "1 00000", "2 00007", "1 00741"]

    assert said(lines) == [512, 0, 7, 741]


def test_the_end_of_a_line_that_comes_again_is_a_weight() -> None:
    """A kilogram taken off leaves the last digits of what was shown before."""
    lines = ["1740.0 g"] * 4 + ["740.0 g"] * 3

    assert [1740.0] * 4 + ["?"] + [740.0] * 2 == said(lines)
    assert said(lines) == said(lines, end="\r")


def test_more_than_any_scale_shows_is_no_weight() -> None:
    lines = ["512 g"] * 3 + ["1000000 g", "1000001 g", "9" * 200 + " g", "512 g"]

    assert [512.0] * 3 + [1_000_000.0, "?", "?", 512.0] == said(lines)


def test_what_is_certain_in_one_unit_outlives_a_wrong_guess_in_another() -> None:
    ounces = [f"S {number:8.2f} oz" for number in (0.0, 22.95, 88.7, 131.05)]
    kilograms = ["   8.801 kg", "   8.803 kg", "   8.805 kg"] + ["  15,368 kg"] * 3
    read = said(ounces + kilograms + ounces[1:])

    assert "?" not in said(ounces)
    assert said(ounces)[1:] == read[-3:]


def test_other_signs_are_learned_where_those_that_refuted_a_guess_do_not_fit() -> None:
    lines = ["1.234 kg"] * 5 + ["1234 kg", "1235 kg"] + ["12.5 kg"] * 4

    assert [12_500.0] * 2 == said(lines)[-2:]


def test_what_comes_with_much_silence_is_read_and_not_kept() -> None:
    decoder = Decoder()
    out = [decoder.feed(b"\x00" * 100_000 + b"S 651 g\r\n", place) for place in range(6)]

    assert [1, 1, 1] == [len(items) for items in out[3:]]
    assert {} == decoder._seen


@pytest.mark.parametrize("say", ["Max 15 kg e=5g {:6d} g", "0.300 kg {:.3f} kg"])
def test_a_number_that_never_changes_beside_one_that_does_is_doubted(say: str) -> None:
    decoder = Decoder()
    for place in range(60):
        decoder.feed(f"{say.format(place * 12)}\r\n".encode(), place / 10)

    assert "learn this scale" in decoder.refusal


def test_lines_that_are_counted_are_not_doubted_once_the_weight_has_changed() -> None:
    decoder = Decoder()
    for place in range(200):
        decoder.feed(f"{place:05d},{740 if place > 20 else 0:6d} g\r\n".encode(), place / 10)

    assert "" == decoder.refusal
