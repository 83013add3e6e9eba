"""How early and how right the firm cue is, beside the plain rules, scene by scene.

Run ``python tests/benchmarks/settling.py [--source simulate|other|both] [--seed N] [--scene X]``.
Every stream has known truth. The plain rules are the scale's own stable mark (also where the line
does not send it: its time comes with the truth) and "k equal readings", k = 2, 3, 4; they are told
the zero and where each rest begins, which the detector is not.
"""

from __future__ import annotations

import argparse
import importlib
import statistics
import sys
from bisect import bisect_right
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from weighstation.acquire import Decoder
from weighstation.detect import Detector
from weighstation.events import DivisionLearned, PanLeft, Reading, Weighing
from weighstation.specification import Way

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

LONG_REST_S = 0.8
Stream = tuple[str, list[tuple[float, bytes]], dict[str, Any]]


def is_long(rest: dict[str, Any], before: dict[str, Any] | None) -> bool:
    """Say whether a rest counts: long enough, and not the second half of one that was pressed.

    After a press that moves no dough the cue that stands is still right, and nothing is said.
    """
    if before is not None and (before["visit"], before["touch"]) == (rest["visit"], rest["touch"]):
        return False
    return bool(rest["to_s"] - rest["from_s"] >= LONG_REST_S)


def with_before(
    rests: list[dict[str, Any]],
) -> Iterator[tuple[dict[str, Any], dict[str, Any] | None]]:
    """Yield each rest with the one before it."""
    before = None
    for rest in rests:
        yield rest, before
        before = rest


@dataclass
class Score:
    """What one rule did on one stream."""

    firm_s: list[float] = field(default_factory=list)  # rest to right firm cue, long rests only
    long_rests: int = 0
    firm: int = 0
    firm_wrong: int = 0
    early_s: list[float] = field(default_factory=list)  # rest to first right provisional cue
    early: int = 0
    early_turned: int = 0
    pieces: int = 0
    pieces_missed: int = 0
    pieces_extra: int = 0
    weights_off: int = 0
    touches_off: int = 0

    def __add__(self, other: Score) -> Score:
        total = Score()
        for name in vars(total):
            setattr(total, name, getattr(self, name) + getattr(other, name))
        return total


def verdict(net_g: float, truth: dict[str, Any]) -> str:
    """Return the plain verdict of a weight."""
    error = net_g - truth["target_g"]
    if error < -truth["under_g"] - 1e-9:
        return "add"
    return "trim" if error > truth["over_g"] + 1e-9 else "keep"


def is_right(net_g: float, rest: dict[str, Any], truth: dict[str, Any]) -> bool:
    """Say whether a cue was right: within one division, and the verdict as true weight gives it."""
    d = truth["division_g"]
    true_g = rest["net_g"]
    if abs(net_g - true_g) > d + 1e-6:
        return False
    verdicts = {verdict(true_g + shift, truth) for shift in (-d, 0.0, d)}
    return verdict(net_g, truth) in verdicts


def readings_of(arrivals: list[tuple[float, bytes]]) -> list[Reading | DivisionLearned]:
    """Decode a whole stream."""
    decoder = Decoder()
    items: list[Reading | DivisionLearned] = []
    for t_s, data in arrivals:
        items += decoder.feed(data, t_s)
    return items + decoder.finish()


def run_detector(
    items: list[Reading | DivisionLearned], truth: dict[str, Any]
) -> list[Weighing | PanLeft]:
    """Return what the detector said."""
    target_mg = round(truth["target_g"] * 1000)
    detector = Detector(
        way=Way(truth["way"]), smallest_load_mg=target_mg // 4, usual_load_mg=target_mg
    )
    said: list[Weighing | PanLeft] = []
    for item in items:
        said += detector.feed(item)
    last = items[-1].t_s if items else 0.0
    return said + list(detector.finish(last))


def score_detector(
    items: list[Reading | DivisionLearned], truth: dict[str, Any], *, verbose: bool = False
) -> Score:
    """Score the detector on one stream."""
    said = run_detector(items, truth)
    score = Score()
    weighings = [item for item in said if isinstance(item, Weighing)]
    _score_cues(weighings, truth, score, verbose=verbose)
    _score_loads([item for item in said if isinstance(item, PanLeft)], truth, score, verbose)
    return score


def _score_cues(
    weighings: list[Weighing], truth: dict[str, Any], score: Score, *, verbose: bool
) -> None:
    rests = truth["rests"]
    for place, rest in enumerate(rests):
        since = (rests[place - 1]["to_s"] if place else 0.0) - 1e-9
        until = rest["to_s"] + 0.05
        mine = [w for w in weighings if since + 0.05 < w.t_s <= until]
        firm = [w for w in mine if w.firm and w.t_s > rest.get("began_s", since)]
        rights = [w for w in firm if is_right(w.net_mg / 1000, rest, truth)]
        wrong = [w for w in firm if not is_right(w.net_mg / 1000, rest, truth)]
        wrong = [w for w in wrong if not _is_late(w, rests, place, truth)]
        score.firm += len(firm)
        score.firm_wrong += len(wrong)
        if verbose:
            for w in wrong:
                print(f"    wrong firm {w} rest {rest}")
        if is_long(rest, rests[place - 1] if place else None):
            score.long_rests += 1
            if rights:
                score.firm_s.append(max(0.0, rights[0].t_s - rest["from_s"]))
            elif verbose:
                print(f"    no right firm in {rest}; firm {firm}")
        _score_provisional(mine, rest, truth, score, rests[place - 1] if place else None)


def _is_late(w: Weighing, rests: list[dict[str, Any]], place: int, truth: dict[str, Any]) -> bool:
    """A firm value of the rest just before, said as the hand came again, is late, not wrong."""
    if place == 0:
        return False
    before = rests[place - 1]
    return w.t_s < before["to_s"] + 0.4 and is_right(w.net_mg / 1000, before, truth)


def _score_provisional(
    mine: list[Weighing],
    rest: dict[str, Any],
    truth: dict[str, Any],
    score: Score,
    before: dict[str, Any] | None,
) -> None:
    right_verdicts = {
        verdict(rest["net_g"] + shift, truth)
        for shift in (-truth["division_g"], 0.0, truth["division_g"])
    }
    said = [w for w in mine if w.t_s >= rest["from_s"]]
    for place, w in enumerate(said):
        if verdict(w.net_mg / 1000, truth) not in right_verdicts:
            continue
        score.early += 1
        if is_long(rest, before):
            score.early_s.append(w.t_s - rest["from_s"])
        later = (verdict(after.net_mg / 1000, truth) for after in said[place + 1 :])
        score.early_turned += any(word not in right_verdicts for word in later)
        return


def _score_loads(left: list[PanLeft], truth: dict[str, Any], score: Score, verbose: bool) -> None:
    loads = truth["loads"]
    score.pieces += len(loads)
    free = list(left)
    d = truth["division_g"]
    for load in loads:
        near = [pan for pan in free if pan.placed_s < load["left_s"] and pan.t_s > load["placed_s"]]
        if not near:
            score.pieces_missed += 1
            if verbose:
                print(f"    missed {load}")
            continue
        pan = min(near, key=lambda pan: abs(pan.t_s - load["left_s"]))
        free.remove(pan)
        if abs(pan.final_mg / 1000 - load["final_g"]) > d + 1e-6:
            score.weights_off += 1
            if verbose:
                print(f"    weight off {pan} {load}")
        if pan.touches != load["touches"]:
            score.touches_off += 1
            if verbose:
                print(f"    touches off {pan} {load}")
    score.pieces_extra += len(free)
    if verbose:
        for pan in free:
            print(f"    extra {pan}")


def weights_of(items: list[Reading | DivisionLearned]) -> list[tuple[float, float]]:
    """Return times and grams of the readings that are weights."""
    return [
        (item.t_s, item.gross_mg / 1000)
        for item in items
        if isinstance(item, Reading) and item.gross_mg is not None
    ]


def score_mark(items: list[Reading | DivisionLearned], truth: dict[str, Any]) -> Score:
    """Score the scale's own stable mark; how often what it shows then is wrong is the floor."""
    score = Score()
    readings = weights_of(items)
    placed = {load["visit"]: load["placed_s"] for load in truth["loads"]}
    for rest, previous in with_before(truth["rests"]):
        marked = rest["mark_s"] is not None and rest["mark_s"] <= rest["to_s"] + 0.05
        if marked and truth["way"] == "single":
            zero = _last_before(readings, placed[rest["visit"]])
            score.firm += 1
            shown = _last_before(readings, rest["mark_s"] + 0.02)
            score.firm_wrong += not is_right(shown - zero, rest, truth)
        if not is_long(rest, previous):
            continue
        score.long_rests += 1
        if marked:
            score.firm_s.append(max(0.0, rest["mark_s"] - rest["from_s"]))
    return score


def _last_before(readings: list[tuple[float, float]], t_s: float) -> float:
    place = bisect_right(readings, (t_s, float("inf")))
    return readings[place - 1][1] if place else 0.0


def score_equal(items: list[Reading | DivisionLearned], truth: dict[str, Any], k: int) -> Score:
    """Score the rule 'k equal readings', which is told the zero and the rests."""
    readings = weights_of(items)
    score = Score()
    if truth["way"] != "single":
        return score
    placed = {load["visit"]: load["placed_s"] for load in truth["loads"]}
    before = 0.0
    for rest, previous in with_before(truth["rests"]):
        zero = _last_before(readings, placed[rest["visit"]])
        start = max(before, placed[rest["visit"]])
        before = rest["to_s"]
        fired = _first_equal(readings, k, start + 0.1, rest["to_s"], zero, truth)
        long = is_long(rest, previous)
        score.long_rests += long
        firsts = list(fired)
        if not firsts:
            continue
        rights = [t for t, net in firsts if is_right(net, rest, truth)]
        score.firm += 1
        score.firm_wrong += not is_right(firsts[0][1], rest, truth)
        if rights and long:
            score.firm_s.append(max(0.0, rights[0] - rest["from_s"]))
    return score


def _first_equal(
    readings: list[tuple[float, float]],
    k: int,
    start_s: float,
    end_s: float,
    zero: float,
    truth: dict[str, Any],
) -> Iterator[tuple[float, float]]:
    run = 0
    last: float | None = None
    for t_s, gross in readings:
        if t_s > end_s:
            return
        run = run + 1 if last is not None and abs(gross - last) < 1e-9 else 1
        last = gross
        if t_s >= start_s and run == k and gross - zero > truth["target_g"] / 5:
            yield t_s, gross - zero


def ratio(score: Score, mark: Score) -> float:
    """Median time of a rule over the mark's, rests without either counting as never."""

    def median(one: Score) -> float:
        never = [float("inf")] * (one.long_rests - len(one.firm_s))
        return statistics.median(one.firm_s + never) if one.long_rests else float("nan")

    return median(score) / median(mark) if median(mark) else float("nan")


def streams(source: str, seed: int, only: str | None) -> Iterator[Stream]:
    """Yield the streams of one generator."""
    sys.path.insert(0, str(Path(__file__).parent))
    if source in ("simulate", "both"):
        simulate = importlib.import_module("weighstation.simulate")
        for place, (name, scale, hands) in enumerate(simulate.benchmark_scenes()):
            if only in (None, name):
                morning = simulate.morning(scale, hands, pieces=40, seed=1000 * seed + place)
                yield f"own/{name}", [(a.t_s, a.data) for a in morning.chunks], morning.truth
    if source in ("other", "both"):
        other = importlib.import_module("other_hand")
        for name in other.scenes():
            if only in (None, name):
                arrivals, truth = other.make(name, seed)
                yield f"other/{name}", arrivals, truth


def share(part: int, whole: int) -> str:
    """Return a share in percent."""
    return f"{100 * part / whole:5.1f}" if whole else "    -"


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--source", default="both", choices=("simulate", "other", "both"))
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--scene")
    parser.add_argument("--verbose", action="store_true")
    options = parser.parse_args()
    rules: dict[str, Callable[[list[Reading | DivisionLearned], dict[str, Any]], Score]] = {
        f"{k} equal": partial(score_equal, k=k) for k in (2, 3, 4)
    }
    totals: dict[str, Score] = {}
    print(
        "time to a right firm cue / time of the scale's own mark (medians); wrong % of firm cues;\n"
        "got % of rests >= 0.8 s; early = first right provisional / mark, turned %;\n"
        "pieces missed, extra, weight off by more than one division, touches off\n"
    )
    print(
        f"{'scene':<34}{'ratio':>6}{'wrong':>6}{'got':>6}{'early':>6}{'turn':>6}"
        f"{'miss':>5}{'xtra':>5}{'wt':>4}{'tch':>4}"
        + "".join(f" |{name:>8}{'wrong':>6}{'got':>6}" for name in rules)
        + " | mark: got, wrong, median s"
    )
    for name, arrivals, truth in streams(options.source, options.seed, options.scene):
        items = readings_of(arrivals)
        scores = {"ours": score_detector(items, truth, verbose=options.verbose)}
        scores["mark"] = score_mark(items, truth)
        scores |= {rule: score(items, truth) for rule, score in rules.items()}
        _print_row(name, scores)
        for rule, score in scores.items():
            totals[rule] = totals.get(rule, Score()) + score
    _print_row("all", totals)


def _print_row(name: str, scores: dict[str, Score]) -> None:
    ours, mark = scores["ours"], scores["mark"]
    early = Score(firm_s=ours.early_s, long_rests=ours.long_rests)
    row = (
        f"{name:<34}{ratio(ours, mark):6.2f}{share(ours.firm_wrong, ours.firm):>6}"
        f"{share(len(ours.firm_s), ours.long_rests):>6}{ratio(early, mark):6.2f}"
        f"{share(ours.early_turned, ours.early):>6}{ours.pieces_missed:5}{ours.pieces_extra:5}"
        f"{ours.weights_off:4}{ours.touches_off:4}"
    )
    for rule, score in scores.items():
        if rule not in ("ours", "mark"):
            row += (
                f" |{ratio(score, mark):8.2f}{share(score.firm_wrong, score.firm):>6}"
                f"{share(len(score.firm_s), score.long_rests):>6}"
            )
    median = statistics.median(mark.firm_s) if mark.firm_s else float("nan")
    got = share(len(mark.firm_s), mark.long_rests)
    print(f"{row} | {got} {share(mark.firm_wrong, mark.firm)} {median:.2f}")


if __name__ == "__main__":
    main()
