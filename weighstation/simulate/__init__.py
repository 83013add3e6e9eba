"""Specifications -> bytes and the truth behind them.

A scale (pan on a spring, converter, filter, zero tracking, stable mark, line shape, link) and a
pair of hands at it, all driven by one seed: what arrives is what a bench would receive, and what
truly lay on the pan is known.
"""

from __future__ import annotations

from weighstation.simulate.benches import benchmark_scenes, lifted_scenes
from weighstation.simulate.hands import Habits, HandsSpec, Span
from weighstation.simulate.lines import LineShape, Speech
from weighstation.simulate.link import LinkSpec
from weighstation.simulate.morning import Bench, Morning, morning
from weighstation.simulate.pan import PanSpec
from weighstation.simulate.presets import HANDS, SCALES, hands_named, scale_named
from weighstation.simulate.scale import ScaleSpec
from weighstation.simulate.scenes import SCENES, Scene, scene
from weighstation.simulate.smoothing import Filter

__all__ = [
    "HANDS",
    "SCALES",
    "SCENES",
    "Bench",
    "Filter",
    "Habits",
    "HandsSpec",
    "LineShape",
    "LinkSpec",
    "Morning",
    "PanSpec",
    "ScaleSpec",
    "Scene",
    "Span",
    "Speech",
    "benchmark_scenes",
    "hands_named",
    "lifted_scenes",
    "morning",
    "scale_named",
    "scene",
]
