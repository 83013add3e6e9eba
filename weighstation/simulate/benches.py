"""Long mornings for benchmarks: scales, hands and links in twenty-odd combinations."""

from __future__ import annotations

from dataclasses import replace

from weighstation.simulate.hands import Habits, HandsSpec
from weighstation.simulate.lines import LineShape, Speech
from weighstation.simulate.link import LinkSpec
from weighstation.simulate.pan import PanSpec
from weighstation.simulate.presets import HANDS, SCALES, hands_for
from weighstation.simulate.scale import ScaleSpec
from weighstation.simulate.smoothing import Filter

Named = tuple[str, ScaleSpec, HandsSpec]
_BARE = Speech(LineShape.BARE)


def _hands(scale: str, **habits: float) -> HandsSpec:
    return replace(hands_for(scale), habits=Habits(**habits))


def _as(
    scale: ScaleSpec, like: ScaleSpec, rate_hz: float, speech: Speech | None = None
) -> ScaleSpec:
    """Return a scale with the filter of another."""
    said = speech or scale.speech
    filtered = replace(scale, filter=like.filter, window_s=like.window_s)
    return replace(filtered, rate_hz=rate_hz, speech=said)


def _divisions() -> list[Named]:
    scenes: list[Named] = [
        (f"d {scale.division} g, {scale.rate_hz:g} Hz", scale, hands_for(name))
        for name, scale in ((name, SCALES[name]) for name in ("fine", "half", "two", "coarse"))
    ]
    fine, half = SCALES["fine"], SCALES["half"]
    bare_fine = replace(fine, rate_hz=20.0, speech=_BARE, window_s=0.4)
    bare_half = replace(half, rate_hz=15.0, speech=_BARE)
    return [
        ("d 1 g, 10 Hz", SCALES["bench"], hands_for("bench")),
        *scenes,
        ("d 0.1 g, 20 Hz, no mark", bare_fine, hands_for("fine")),
        ("d 0.5 g, 15 Hz, no mark", bare_half, hands_for("half")),
    ]


def _rates() -> list[Named]:
    bench, skilled = SCALES["bench"], HANDS["skilled"]
    first = replace(bench, filter=Filter.FIRST_ORDER, rate_hz=15.0)
    adaptive = replace(bench, filter=Filter.ADAPTIVE, rate_hz=15.0)
    return [
        ("d 1 g, 5 Hz, slow filter", SCALES["slow"], HANDS["patient"]),
        ("d 1 g, 8 Hz, no mark", replace(bench, rate_hz=8.0, speech=_BARE), skilled),
        ("d 1 g, 15 Hz, first-order filter", first, HANDS["patient"]),
        ("d 1 g, 15 Hz, adaptive filter", adaptive, skilled),
        ("d 1 g, 20 Hz, quick filter", SCALES["quick"], skilled),
    ]


def _ringing() -> list[Named]:
    ringing, patient = SCALES["ringing"], HANDS["patient"]
    pan = PanSpec(natural_hz=5.0, damping=0.05, working_g=350.0, pan_g=300.0)
    fine = replace(SCALES["half"], pan=pan, rate_hz=20.0)
    return [
        ("ringing, 10 Hz", ringing, patient),
        ("ringing, 20 Hz, no mark", replace(ringing, rate_hz=20.0, speech=_BARE), patient),
        ("ringing, d 0.5 g, 20 Hz", fine, replace(hands_for("half"), rest=patient.rest)),
    ]


def _bench_life() -> list[Named]:
    bench = SCALES["bench"]
    untracked = replace(bench, tracking=False)
    return [
        ("knocks", bench, _hands("bench", knocks=0.3)),
        ("knocks, d 0.1 g", SCALES["fine"], _hands("fine", knocks=0.3, knock_g=0.01)),
        ("flour", bench, _hands("bench", residue_g=0.8, wipes=0.1)),
        ("flour, no zero tracking", untracked, _hands("bench", residue_g=0.8, wipes=0.1)),
        ("creep", replace(bench, creep=0.0015, creep_s=8.0), hands_for("bench")),
        ("hand rests", bench, _hands("bench", hand_rests=0.8)),
        ("hand rests, 20 Hz, quick filter", SCALES["quick"], _hands("bench", hand_rests=0.8)),
        ("noisy converter", replace(bench, noise_d=1.5, wander_d=0.2), hands_for("bench")),
        ("fast baker", bench, HANDS["fast"]),
        ("fast baker, 20 Hz", replace(bench, rate_hz=20.0), HANDS["fast"]),
        ("learner", bench, HANDS["learner"]),
        ("frames lost", replace(bench, link=LinkSpec(lost=0.08, torn=0.01)), hands_for("bench")),
        ("bursts", replace(bench, link=LinkSpec(split=0.1, stall=0.02)), hands_for("bench")),
    ]


def _filters() -> list[Named]:
    """Return the less usual filters; the mark waits longer where the filter is slow."""
    bench, fine, half, two = (SCALES[name] for name in ("bench", "fine", "half", "two"))
    waiting = replace(hands_for("fine"), rest=HANDS["patient"].rest)
    cascade = replace(bench, filter=Filter.CASCADE, window_s=0.7)
    middle = replace(bench, filter=Filter.MEDIAN, window_s=0.4)
    easing = _easing()
    patient = HANDS["patient"]
    return [
        ("cascade, 10 Hz", cascade, hands_for("bench")),
        ("cascade, d 0.1 g, 20 Hz", _as(fine, cascade, 20.0), waiting),
        ("cascade, 5 Hz, no mark", replace(cascade, rate_hz=5.0, speech=_BARE), patient),
        ("cascade, d 5 g, 8 Hz", _as(SCALES["coarse"], cascade, 8.0), hands_for("coarse")),
        ("median, 10 Hz", middle, hands_for("bench")),
        ("median, d 0.5 g, 15 Hz, no mark", _as(half, middle, 15.0, _BARE), hands_for("half")),
        ("median, 5 Hz", replace(middle, rate_hz=5.0), patient),
        ("easing, 10 Hz", easing, hands_for("bench")),
        ("easing, d 0.1 g, 15 Hz", _as(fine, easing, 15.0), hands_for("fine")),
        (
            "easing, d 2 g, 20 Hz, no mark",
            _as(two, easing, 20.0, _BARE),
            hands_for("two"),
        ),
    ]


def _harder_hands() -> list[Named]:
    """Return hands that lean, dough that clings, a slow baker and an irregular link."""
    bench, fine = SCALES["bench"], SCALES["fine"]
    late = replace(SCALES["quick"], link=LinkSpec(jitter_s=0.06))
    return [
        ("sticky lifts", bench, _hands("bench", sticks=0.7)),
        ("sticky lifts, d 0.1 g, 20 Hz", replace(fine, rate_hz=20.0), _hands("fine", sticks=0.7)),
        (
            "hand rests, d 0.1 g, no mark",
            replace(fine, speech=_BARE),
            _hands("fine", hand_rests=0.8),
        ),
        ("learner, easing, 8 Hz", replace(_easing(), rate_hz=8.0), HANDS["learner"]),
        ("jitter, 20 Hz", late, hands_for("bench")),
    ]


def _easing() -> ScaleSpec:
    return replace(SCALES["bench"], filter=Filter.EASING, window_s=0.9)


def benchmark_scenes() -> list[Named]:
    """Return the benchmark's scenes, each meant for 40 pieces and several seeds.

    Returns
    -------
    list of (str, ScaleSpec, HandsSpec)
    """
    return [*_divisions(), *_rates(), *_ringing(), *_bench_life(), *_filters(), *_harder_hands()]


def lifted_scenes() -> list[Named]:
    """Return mornings in which pieces are lifted out of band: brought back, boarded, or both.

    Returns
    -------
    list of (str, ScaleSpec, HandsSpec)
    """
    bench = SCALES["bench"]
    scenes: list[Named] = []
    for who in ("skilled", "fast", "learner"):
        for label, habits in (
            ("all come back", Habits(lifts=1.0)),
            ("half come back", Habits(lifts=0.5)),
            ("all boarded", Habits(boards_anyway=1.0)),
            ("both", Habits(lifts=0.7, boards_anyway=0.3)),
        ):
            scenes.append((f"{who}, {label}", bench, replace(HANDS[who], habits=habits)))
    return scenes
