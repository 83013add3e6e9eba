"""The scenes: which instrument, which pan, which line, whose hands, which dough."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from other_hand_dough import Goal, Hands
from other_hand_line import Link
from other_hand_pan import Pan
from other_hand_scale import (
    MarkRule,
    Scale,
    adaptive,
    average,
    low_pass,
    median,
    restarting,
    triangle,
)

ROLL = Goal(60.0, 2.0, 2.0)
LOAF = Goal(740.0, 8.0, 8.0)
LARGE = Goal(909.0, 10.0, 14.0)
GREAT = Goal(2000.0, 25.0, 25.0)

CALM = Hands(placing=("set", "set", "tip"), leans=0.03, presses=0.0, knocks=0.0, dabs=0.05)
PLAIN = Hands()
HASTY = Hands(
    placing=("drop", "drop", "set"),
    lifting=("quick", "quick", "plain"),
    read_s=0.9,
    gap_s=(0.5, 1.2),
    cut_sd=0.025,
)
HEAVY = Hands(leans=0.45, presses=0.2, dabs=0.3, lean_g=(20.0, 250.0), lifts_edge=0.8)
LEARNER = Hands(
    placing=("slow", "slow", "tip"),
    lifting=("sticky", "plain"),
    read_s=1.8,
    cut_sd=0.07,
    cut_bias=-0.03,
    miss_sd=0.35,
    takes_off=0.15,
    leaves_it=0.02,
    throws_back=0.02,
    leans=0.25,
)
ROLLS = Hands(
    lifting=("quick", "plain"),
    read_s=1.2,
    gap_s=(0.5, 1.4),
    cut_sd=0.05,
    leans=0.06,
    lean_g=(6.0, 60.0),
    knock_g=(0.5, 8.0),
    residue_g=0.03,
    elbow_g=(40.0, 300.0),
)


@dataclass(frozen=True, slots=True)
class Scene:
    """Everything that makes a recording but its seed."""

    goal: Goal
    scale: Scale
    hands: Hands = PLAIN
    pan: Pan = field(default_factory=Pan)
    link: Link = field(default_factory=Link)
    way: str = "single"
    board_g: float = 850.0
    swaps: bool = True


_ROLLS = {
    "rolls-tenths-average": Scene(
        ROLL, Scale(average(0.4), 0.1, 10, 1500), ROLLS, Pan(14, 0.15, 250, noise_g=0.02)
    ),
    "rolls-fifths-lowpass-unmarked": Scene(
        ROLL,
        Scale(low_pass(0.13), 0.2, 8, 3000, tracks_d_per_s=0.5),
        replace(ROLLS, residue_g=0.12, wipes=0.2),
        Pan(12, 0.1, 300, noise_g=0.03),
        Link("bare", 4800),
    ),
    "rolls-halves-median-hasty": Scene(
        ROLL,
        Scale(median(0.18, 0.04), 0.5, 20, 3000, MarkRule(0.3)),
        replace(ROLLS, placing=("drop", "set"), lifting=("quick",), gap_s=(0.35, 0.9), read_s=0.8),
        Pan(13, 0.12, 300),
        Link("unit-only"),
    ),
    "rolls-grams-cascade-slow-line": Scene(
        ROLL,
        Scale(low_pass(0.07, 3), 1.0, 5, 6000, MarkRule(0.6)),
        replace(ROLLS, read_s=1.6),
        Pan(10, 0.12, 500),
        Link("trailing", 2400),
    ),
    "rolls-tenths-restarting-drift": Scene(
        ROLL,
        Scale(restarting(1.2, 1.0), 0.1, 15, 600, MarkRule(0.4, 2.0, inner=True)),
        replace(ROLLS, elbows=0.1, elbow_g=(200.0, 1200.0)),
        Pan(15, 0.2, 200, creep=0.0015, creep_s=12, drift_g_per_min=0.25, noise_g=0.03),
        Link("framed"),
    ),
    "rolls-build-up-tray": Scene(
        ROLL,
        Scale(average(0.35), 0.5, 12, 6000, start_tare_g=640.0),
        ROLLS,
        Pan(11, 0.14, 500),
        Link("headed"),
        "build-up",
        640.0,
    ),
    "rolls-halves-take-away": Scene(
        ROLL,
        Scale(low_pass(0.09, 2), 0.5, 10, 6000),
        ROLLS,
        Pan(10, 0.15, 1500),
        Link("trailing"),
        "take-away",
    ),
    "rolls-fifths-adaptive-mixer": Scene(
        ROLL,
        Scale(adaptive(0.04, 0.4, 1.5), 0.2, 10, 3000, MarkRule(0.5, 2.0)),
        ROLLS,
        Pan(13, 0.12, 350, noise_g=0.05, hum_g=0.15, hum_hz=8.3),
        Link("comma"),
    ),
}

_LOAVES = {
    "loaves-gram-average": Scene(LOAF, Scale(average(0.5))),
    "loaves-gram-lowpass-calm": Scene(
        LOAF, Scale(low_pass(0.15), 1.0, 10, 6000, tracks_d_per_s=0.5), CALM
    ),
    "loaves-gram-cascade-heavy-hands": Scene(
        LOAF,
        Scale(low_pass(0.06, 4), 1.0, 10, 6000, MarkRule(0.6)),
        HEAVY,
        link=Link("kilo"),
    ),
    "loaves-gram-adaptive-heavy-hands": Scene(
        LOAF,
        Scale(adaptive(0.05, 0.7, 6.0), 1.0, 15, 6000, MarkRule(0.4, 1.0, inner=True)),
        HEAVY,
        link=Link("trailing", 19200),
    ),
    "loaves-two-gram-average-unmarked-hasty": Scene(
        LOAF,
        Scale(average(0.3), 2.0, 10, 6000, MarkRule(0.3)),
        HASTY,
        Pan(9, 0.1, 900),
        Link("bare"),
    ),
    "loaves-gram-ringing-pan": Scene(
        LOAF,
        Scale(average(0.3), 1.0, 10, 6000),
        replace(PLAIN, placing=("slow", "tip", "set"), read_s=2.0),
        Pan(6.5, 0.065, 1100),
        Link("headed"),
    ),
    "loaves-half-gram-ringing-unmarked": Scene(
        LOAF,
        Scale(low_pass(0.2), 0.5, 20, 6000, MarkRule(0.5)),
        replace(PLAIN, placing=("slow", "tip"), read_s=2.1),
        Pan(7.5, 0.075, 900),
        Link("comma", 19200),
    ),
    "loaves-gram-knocked-bench": Scene(
        LOAF,
        Scale(triangle(0.5), 1.0, 12, 6000),
        replace(PLAIN, knocks=0.5, knock_g=(5.0, 80.0)),
        Pan(8, 0.09, 800),
    ),
    "loaves-gram-flour-and-creep": Scene(
        LOAF,
        Scale(average(0.4), 1.0, 10, 6000, every_steps=5),
        replace(PLAIN, residue_g=1.2, wipes=0.08, zeroes=0.06, dawdles=0.03, breaks=0.06),
        Pan(10, 0.12, 700, creep=0.002, creep_s=9, drift_g_per_min=0.5),
    ),
    "loaves-gram-tare-mid-piece": Scene(
        LOAF,
        Scale(adaptive(0.04, 0.3, 4.0), 1.0, 10, 6000),
        replace(PLAIN, tares=0.2, tares_back=0.6),
        link=Link("trailing"),
    ),
    "loaves-gram-negative-pan": Scene(
        LOAF,
        Scale(median(0.25, 0.06), 1.0, 10, 6000, start_tare_g=118.0),
        PLAIN,
        link=Link("behind", 9600),
    ),
    "loaves-gram-two-at-once": Scene(
        LOAF,
        Scale(low_pass(0.08, 2), 1.0, 8, 6000),
        replace(PLAIN, doubles=0.2, throws_back=0.03),
        link=Link("headed", 4800),
    ),
    "loaves-gram-learner": Scene(
        LOAF, Scale(average(0.6), 1.0, 6, 3000, every_steps=8), LEARNER, link=Link("kilo", 2400)
    ),
    "loaves-gram-lost-lines": Scene(
        LOAF,
        Scale(average(0.3), 1.0, 10, 6000),
        PLAIN,
        link=Link("headed", loses=0.06, gap=0.006, garbles=0.01, splits=0.2, joins_late=True),
    ),
    "loaves-gram-bursts": Scene(
        LOAF,
        Scale(low_pass(0.12), 1.0, 20, 6000),
        PLAIN,
        link=Link("trailing", 19200, 0.016, stall=0.05, stall_s=0.6, splits=0.4),
    ),
    "loaves-gram-sticky-display": Scene(
        LOAF,
        Scale(restarting(5.0, 1.5), 1.0, 7, 6000, MarkRule(1.0), sticks_d=0.75),
        PLAIN,
        link=Link("framed"),
    ),
    "loaves-gram-take-away": Scene(
        LOAF,
        Scale(average(0.4), 1.0, 10, 15000),
        PLAIN,
        Pan(9, 0.12, 2500),
        Link("headed"),
        "take-away",
    ),
    "loaves-two-gram-build-up-crate": Scene(
        LOAF,
        Scale(low_pass(0.14), 2.0, 10, 15000),
        PLAIN,
        Pan(8, 0.14, 2500),
        Link("kilo"),
        "build-up",
        1342.0,
        swaps=False,
    ),
    "loaves-gram-early-mark": Scene(
        LOAF,
        Scale(low_pass(0.25), 1.0, 10, 6000, MarkRule(0.2), every_steps=4),
        PLAIN,
        link=Link("headed"),
    ),
    "loaves-gram-draught": Scene(
        LOAF,
        Scale(adaptive(0.05, 0.25, 5.0), 1.0, 10, 6000, MarkRule(0.4)),
        PLAIN,
        Pan(10, 0.12, 900, hum_g=0.9, hum_hz=0.37),
        Link("trailing"),
    ),
    "loaves-gram-exchange": Scene(
        LOAF,
        Scale(average(0.12), 1.0, 20, 6000, MarkRule(0.3)),
        replace(HASTY, gap_s=(0.15, 0.5), takes_off=0.0, placing=("set", "tip")),
        Pan(13, 0.2, 600),
        Link("headed", 19200),
    ),
    "loaves-fifth-gram-average-unmarked": Scene(
        LOAF,
        Scale(average(0.5), 0.2, 10, 3000, MarkRule(0.5, 2.0)),
        replace(PLAIN, read_s=1.8),
        Pan(12, 0.15, 700, noise_g=0.08, drift_g_per_min=-0.3),
        Link("bare"),
    ),
}

_LARGE = {
    "large-five-gram-median": Scene(
        LARGE,
        Scale(median(0.4, 0.08), 5.0, 10, 15000, MarkRule(0.5), every_steps=8),
        PLAIN,
        Pan(8, 0.12, 1500),
        Link("bare"),
    ),
    "large-two-gram-overload": Scene(
        LARGE,
        Scale(average(0.35), 2.0, 10, 2000),
        replace(PLAIN, elbows=0.25, elbow_g=(900.0, 3500.0), lean_g=(300.0, 1600.0), leans=0.2),
        link=Link("trailing"),
    ),
    "large-half-gram-fast-line": Scene(
        LARGE,
        Scale(triangle(0.4), 0.5, 20, 3000, MarkRule(0.3, 2.0)),
        HASTY,
        Pan(10, 0.12, 700),
        Link("headed", 19200),
    ),
    "great-five-gram-cascade": Scene(
        GREAT,
        Scale(low_pass(0.09, 3), 5.0, 5, 15000, MarkRule(0.8)),
        replace(PLAIN, read_s=1.9),
        Pan(7, 0.1, 2000, creep=0.001),
        Link("headed", 2400),
    ),
    "great-gram-adaptive-slow-placing": Scene(
        GREAT,
        Scale(adaptive(0.06, 0.8, 8.0), 1.0, 10, 6000, MarkRule(0.5), tracks_d_per_s=0.5),
        replace(LEARNER, cut_sd=0.03, miss_sd=0.15, takes_off=0.08),
        Pan(7, 0.11, 1500),
        Link("comma"),
    ),
    "great-two-gram-take-away": Scene(
        Goal(2000.0, 20.0, 30.0),
        Scale(low_pass(0.1, 2), 2.0, 8, 35000),
        PLAIN,
        Pan(7, 0.15, 5000),
        Link("trailing", 4800),
        "take-away",
    ),
}

SCENES: dict[str, Scene] = {**_ROLLS, **_LOAVES, **_LARGE}
