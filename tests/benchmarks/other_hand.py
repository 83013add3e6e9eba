"""A second hand: simulated streams of a bench scale, with the truth about them.

This generator shares nothing with the one in the package: other equations, other instruments,
other hands. It is there to judge what was tuned on the first.

``python tests/benchmarks/other_hand.py DIR --seed N`` writes NAME.jsonl and NAME.truth.json.
"""

from __future__ import annotations

import argparse
import json
import random
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from other_hand_heaps import BuildUp, TakeAway
from other_hand_line import arrivals, sent_s
from other_hand_pan import feel
from other_hand_scale import Shown, outputs
from other_hand_scenes import SCENES, Scene
from other_hand_ways import Single, Weigher

TAIL_S = 2.0


@dataclass(frozen=True, slots=True)
class Play:
    """One scene played once, with all that went into it."""

    scene: Scene
    weigher: Weigher
    shown: list[Shown]
    arrivals: list[tuple[float, bytes]]


def scenes() -> list[str]:
    """Names of all scenes; each weighs forty pieces."""
    return list(SCENES)


def _weigher(scene: Scene, rng: random.Random) -> Weigher:
    kinds = {"single": Single, "build-up": BuildUp, "take-away": TakeAway}
    made: Weigher = kinds[scene.way](scene.hands, scene.goal, scene.scale.division_g, rng)
    if isinstance(made, BuildUp):
        made.board_g, made.swaps = scene.board_g, scene.swaps
    return made


def _marked_s(play_shown: list[Shown], scene: Scene, from_s: float, to_s: float) -> float | None:
    """When the mark that belongs to a rest was first sent.

    A mark left over from before does not count: either all it was judged by came after the hands
    went, or it stands beside the right weight.
    """
    for one in play_shown:
        sent = sent_s(one, scene.link, scene.scale.division_g)
        if one.t_s < from_s or sent > to_s:
            continue
        fresh = one.t_s - from_s >= scene.scale.mark.over_s
        if one.mark and (fresh or one.off_d <= 1.5):
            return sent
    return None


def _mark_rests(weigher: Weigher, shown: list[Shown], scene: Scene) -> None:
    start = 0
    for rest in weigher.facts.rests:
        while start < len(shown) and shown[start].t_s < rest.from_s:
            start += 1
        stop = start
        while stop < len(shown) and shown[stop].t_s <= rest.to_s:
            stop += 1
        rest.mark_s = _marked_s(shown[start:stop], scene, rest.from_s, rest.to_s)


def play(name: str, seed: int) -> Play:
    """Play a scene: the same name and seed give the same bytes."""
    scene, rng = SCENES[name], random.Random(f"{name}/{seed}")
    weigher = _weigher(scene, rng)
    weigher.work()
    felt = feel(scene.pan, weigher.acting, weigher.t_s + TAIL_S, rng)
    shown = outputs(scene.scale, felt, weigher.keys, rng)
    _mark_rests(weigher, shown, scene)
    return Play(scene, weigher, shown, arrivals(shown, scene.link, scene.scale.division_g, rng))


def make(scene: str, seed: int) -> tuple[list[tuple[float, bytes]], dict[str, Any]]:
    """Return what arrives in a scene, in order of time, and the truth about it."""
    played = play(scene, seed)
    goal, scale = played.scene.goal, played.scene.scale
    truth = {
        "truth": 1,
        "scene": scene,
        "way": played.scene.way,
        "target_g": goal.target_g,
        "under_g": goal.under_g,
        "over_g": goal.over_g,
        "division_g": scale.division_g,
        "rate_hz": float(scale.rate_hz),
        **played.weigher.facts.as_lists(),
    }
    return played.arrivals, truth


def write(folder: Path, name: str, seed: int) -> None:
    """Write one recording and its truth."""
    came, truth = make(name, seed)
    header = {
        "recording": 1,
        "source": f"simulated: {name}, seed {seed}",
        "division_g": truth["division_g"],
        "started": "2026-03-02T04:10:00Z",
    }
    lines = [header, *({"t": t_s, "data": data.decode("latin-1")} for t_s, data in came)]
    text = "".join(json.dumps(line) + "\n" for line in lines)
    (folder / f"{name}.jsonl").write_text(text, encoding="utf-8")
    (folder / f"{name}.truth.json").write_text(json.dumps(truth, indent=1), encoding="utf-8")


def main() -> None:
    """Write every scene into a folder."""
    parser = argparse.ArgumentParser(description="Write simulated recordings and their truth.")
    parser.add_argument("folder", type=Path)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--scene", choices=scenes(), action="append")
    asked = parser.parse_args()
    asked.folder.mkdir(parents=True, exist_ok=True)
    for name in asked.scene or scenes():
        write(asked.folder, name, asked.seed)


if __name__ == "__main__":
    main()
