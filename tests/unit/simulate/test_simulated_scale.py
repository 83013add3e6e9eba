"""The instrument: filter, zero, tare, mark, range and rate."""

from __future__ import annotations

import math
from dataclasses import replace
from random import Random

import pytest

from weighstation.quantities import Unit
from weighstation.simulate.lines import LineShape, Speech
from weighstation.simulate.scale import Scale, ScaleSpec, Sent
from weighstation.simulate.strokes import Key, Stroke

STILL = ScaleSpec(noise_d=0.0, wander_d=0.0, speech=Speech(LineShape.BARE))


def _scale(spec: ScaleSpec = STILL) -> Scale:
    return Scale(spec, Random(1))


def _play(scale: Scale, *strokes: Stroke) -> list[Sent]:
    return [sent for stroke in strokes for sent in scale.play(stroke)]


def _shown(sent: Sent) -> float:
    return float(sent.line)


def test_the_rate_is_kept() -> None:
    """Lines are sent at whole multiples of the period, whatever the strokes."""
    sent = _play(_scale(replace(STILL, rate_hz=8.0)), Stroke(1.1), Stroke(0.333), Stroke(1.0))

    assert [(k + 1) / 8 for k in range(len(sent))] == pytest.approx([each.t_s for each in sent])
    assert len(sent) == math.floor((1.1 + 0.3375 + 1.0) * 8)


@pytest.mark.parametrize(
    ("division", "load_g", "shown"),
    [("1", 740.4, 740.0), ("5", 742.6, 745.0), ("0.1", 60.04, 60.0)],
)
def test_a_load_at_rest_shows_itself_on_the_division(
    division: str, load_g: float, shown: float
) -> None:
    sent = _play(_scale(replace(STILL, division=division)), Stroke(0.2, load_g), Stroke(3.0))

    assert shown == _shown(sent[-1])


def test_kilograms_are_the_same_mass() -> None:
    spec = replace(STILL, unit=Unit.KILOGRAM, division="0.002")
    sent = _play(_scale(spec), Stroke(0.2, 740.9), Stroke(3.0))

    assert b"   0.740\r\n" == sent[-1].line
    assert spec.division_g == pytest.approx(2.0)


def test_the_mark_comes_up_a_filter_and_a_hold_after_the_load() -> None:
    """A stiff pan: the average is within half a division one window after the step, then holds."""
    stiff = replace(STILL, pan=replace(STILL.pan, natural_hz=30.0, damping=0.3))
    scale = _scale(stiff)
    _play(scale, Stroke(2.0))
    up = [sent.t_s for sent in _play(scale, Stroke(0.0125, 740.0), Stroke(3.0)) if sent.came_up]

    assert len(up) == 1
    assert 2.0 + stiff.window_s + stiff.hold_s == pytest.approx(up[0], abs=0.12)


def test_the_mark_never_comes_up_while_the_load_drifts() -> None:
    scale = _scale()
    _play(scale, Stroke(2.0))
    sent = _play(scale, *(Stroke(0.25, 10.0 * k) for k in range(1, 30)))

    assert not [each for each in sent if each.came_up]


def test_zero_tracking_follows_flour_at_half_a_division_a_second() -> None:
    """OIML R 76-1, 4.5.7: at most 0.5 d per second (from memory)."""
    fine = replace(STILL, division="0.01", tracking_d=200.0)
    scale = _scale(fine)
    _play(scale, Stroke(2.0), Stroke(0.1, 0.05), Stroke(2.0))
    first = _play(scale, Stroke(0.2))[-1]
    second = _play(scale, Stroke(2.0))[-1]

    assert _shown(first) - _shown(second) == pytest.approx(0.01, abs=0.0101)
    assert _shown(_play(scale, Stroke(12.0))[-1]) == 0.0


def test_a_scale_without_tracking_keeps_showing_flour() -> None:
    sent = _play(_scale(replace(STILL, tracking=False)), Stroke(0.3, 2.0), Stroke(20.0))

    assert _shown(sent[-1]) == 2.0


def test_tracking_leaves_a_load_alone() -> None:
    sent = _play(_scale(), Stroke(0.3, 740.0), Stroke(30.0))

    assert _shown(sent[-1]) == 740.0


def test_tare_makes_zero_of_a_load_and_a_minus_of_an_empty_pan() -> None:
    scale = _scale()
    tared = _play(scale, Stroke(0.2, 350.0), Stroke(2.0), Stroke(0.1, key=Key.TARE), Stroke(1.5))
    away = _play(scale, Stroke(0.2, 0.0), Stroke(2.0))

    assert (0.0, -350.0) == (_shown(tared[-1]), _shown(away[-1]))


def test_a_zero_key_makes_zero_of_what_lies_there() -> None:
    scale = _scale(replace(STILL, tracking=False))
    sent = _play(scale, Stroke(0.2, 3.0), Stroke(2.0), Stroke(0.1, key=Key.ZERO), Stroke(1.0))

    assert _shown(sent[-1]) == 0.0


def test_a_key_waits_for_a_steady_pan() -> None:
    scale = _scale()
    sent = _play(scale, Stroke(2.0), Stroke(0.3, 500.0), Stroke(0.1, key=Key.TARE), Stroke(0.2))

    assert _shown(sent[-1]) > 0.0
    assert _shown(_play(scale, Stroke(2.0))[-1]) == 0.0


@pytest.mark.parametrize(("load_g", "line"), [(6100.0, b"  ------\r\n"), (-30.0, b"  ______\r\n")])
def test_a_load_out_of_range_shows_no_number(load_g: float, line: bytes) -> None:
    sent = _play(_scale(), Stroke(2.0), Stroke(0.3, load_g), Stroke(2.0))

    assert line == sent[-1].line


def test_creep_gives_its_fraction_exponentially() -> None:
    """After one time constant 63.2 % of the creep has come (textbook first order)."""
    spec = replace(STILL, division="0.01", creep=0.01, creep_s=10.0)
    scale = _scale(spec)
    quick = _play(scale, Stroke(0.0125, 500.0), Stroke(2.0))[-1]
    later = _play(scale, Stroke(8.2))[-1]
    end = _play(scale, Stroke(80.0))[-1]

    assert _shown(quick) == pytest.approx(500 + 5 * (1 - math.exp(-0.175)), abs=0.03)
    assert _shown(later) == pytest.approx(500 + 5 * 0.632121, abs=0.07)
    assert _shown(end) == pytest.approx(505.0, abs=0.02)


def test_averaging_leaves_the_noise_divided_by_the_root_of_the_window() -> None:
    """Standard error of a mean of 40 independent samples: s / sqrt(40)."""
    spec = replace(STILL, division="0.001", noise_d=400.0, tracking=False, rate_hz=2.0)
    sent = _play(_scale(spec), Stroke(2.0, 100.0), Stroke(1000.0))
    grams = [_shown(each) - 100.0 for each in sent[4:]]
    spread = math.sqrt(sum(each * each for each in grams) / len(grams))

    assert 0.4 / math.sqrt(40) == pytest.approx(spread, rel=0.07)


def test_a_push_of_the_hand_shows_and_goes() -> None:
    scale = _scale()
    pressed = _play(scale, Stroke(0.2, 740.0), Stroke(1.5, hand_g=30.0, held=True))
    pressed += _play(scale, Stroke(1.5, hand_g=30.0, held=True))
    let_go = _play(scale, Stroke(0.1, held=True), Stroke(2.0))

    assert (770.0, 740.0) == (_shown(pressed[-1]), _shown(let_go[-1]))
