"""A picture of the bench -> plain data that the bench page draws, all its words made here."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from weighstation.events import Verdict
from weighstation.plan.boards.board import Stage
from weighstation.plan.boards.rest import Rested
from weighstation.station.bench.board_words import KEY_LETTERS
from weighstation.station.bench.keys import OF_BOARDS, Control
from weighstation.station.bench.snapshot import Scene
from weighstation.station.bench.wording import (
    armed_sentences,
    band_text,
    cue_word,
    lifted_key_text,
    lifted_text,
    promised,
    signed,
)
from weighstation.station.showing.band import place_on_ruler
from weighstation.station.showing.facts import caption, dough, left_facts, resting, right_facts
from weighstation.station.showing.told import is_all_cut, scene_words, told

if TYPE_CHECKING:
    from weighstation.events import Cue
    from weighstation.station.bench.keys import OfBoard
    from weighstation.station.bench.snapshot import Snapshot

State = dict[str, Any]
Said = tuple[str, str]
_NOTHING: Said = ("", "")
_SHAPES = {Verdict.ADD: "add", Verdict.TRIM: "trim", Verdict.KEEP: "keep"}
_SCENE_SHAPES = {
    Scene.SCALE_LOST: "alarm",
    Scene.OVERLOADED: "odd",
    Scene.LADEN: "off",
    Scene.EMPTY: "next",
    Scene.PAUSED: "pause",
}
_RESTS = {Rested.TOO_SHORT: "wait", Rested.READY: "ready", Rested.TOO_LONG: "late"}
_STAGES: dict[OfBoard, tuple[Stage, ...]] = {
    Control.CLOSE: (Stage.FILLING,),
    Control.BENCH: (Stage.FILLING, Stage.CLOSED),
    Control.OVEN_IN: (Stage.CLOSED, Stage.AT_BENCH),
    Control.OVEN_OUT: (Stage.IN_OVEN,),
}


def bench_state(snapshot: Snapshot) -> State:
    """Return what the bench page shows of a picture.

    Parameters
    ----------
    snapshot : Snapshot

    Returns
    -------
    dict
        Texts, numbers, lists and dicts that JSON can hold; places on the ruler from 0 to 1.
        ``lost`` is what would not be counted if the batch ended now.
    """
    return {
        "product": snapshot.product,
        "aim": f"aim {promised(snapshot.limits.target_mg)} g",
        "band": band_text(snapshot),
        "cue": _cue(snapshot),
        "ruler": _ruler(snapshot),
        "facts": [*left_facts(snapshot), *right_facts(snapshot)],
        "dough": dough(snapshot)._asdict(),
        "rest": _rest(snapshot),
        "says": _says(snapshot),
        "controls": _controls(snapshot),
        "lost": " ".join(armed_sentences(replace(snapshot, armed=Control.END.value))[:-1]),
    }


def _cue(snapshot: Snapshot) -> State:
    cue = told(snapshot)
    if cue is None:
        shape = "done" if is_all_cut(snapshot) else _SCENE_SHAPES.get(snapshot.scene, "quiet")
        return _big(shape, scene_words(snapshot), "", "no", snapshot)
    grams = signed(cue.error_mg, snapshot.division_mg) if _is_weighed(cue, snapshot) else ""
    firm = "yes" if cue.firm else "about"
    return _big(_shape(cue), _words(cue), grams, firm, snapshot)


def _big(shape: str, words: tuple[str, ...], grams: str, firm: str, snapshot: Snapshot) -> State:
    said = caption(snapshot).replace("   ", "\n")
    return {"shape": shape, "words": words, "grams": grams, "firm": firm, "caption": said}


def _words(cue: Cue) -> tuple[str, ...]:
    """Return what stands on the first line and, where there are no grams, on the second."""
    return ("ONE AT", "A TIME") if cue.verdict is Verdict.ONE_AT_A_TIME else (cue_word(cue),)


def _is_weighed(cue: Cue, snapshot: Snapshot) -> bool:
    """Return whether there are grams to be read."""
    return snapshot.slowed and cue.verdict is not Verdict.ONE_AT_A_TIME


def _shape(cue: Cue) -> str:
    return "odd" if cue.cut_again else _SHAPES.get(cue.verdict, "odd")


def _ruler(snapshot: Snapshot) -> State:
    limits, cue = snapshot.limits, told(snapshot) if snapshot.slowed else None
    ends = (limits.target_mg - limits.under_mg, limits.target_mg + limits.over_mg)
    return {
        "low": place_on_ruler(-limits.under_mg, limits),
        "high": place_on_ruler(limits.over_mg, limits),
        "labels": [promised(mg) for mg in (ends[0], limits.target_mg, ends[1])],
        "piece": None if cue is None else place_on_ruler(cue.error_mg, limits),
    }


def _rest(snapshot: Snapshot) -> State | None:
    found = resting(snapshot)
    return None if found is None else {"shape": _RESTS[found[0]], "text": found[1]}


def _says(snapshot: Snapshot) -> list[Said]:
    """Return the two lines of the moment, each with its kind; empty where there is none.

    What comes first in a row goes before what comes later in it.
    """
    lifted = _lifted(snapshot)
    caution = snapshot.clocks.caution(snapshot.t_s, snapshot.pieces_left)
    first = (("alarm", snapshot.alarm), ("lifted", lifted), ("notice", snapshot.notice))
    second = (
        ("signal", snapshot.signal),
        ("caution", f"! {caution.text}" if caution else ""),
        ("notice", snapshot.notice if lifted else ""),
        ("offer", snapshot.offer),
    )
    return [next((said for said in row if said[1]), _NOTHING) for row in (first, second)]


def _lifted(snapshot: Snapshot) -> str:
    note = snapshot.lifted
    if note is None:
        return ""
    said = lifted_text(note, snapshot.division_mg)
    return f"{said} \N{EM DASH} {lifted_key_text(note)}"


def _controls(snapshot: Snapshot) -> dict[str, State]:
    """Return what each key would do now, by the value of its control.

    ``name`` is the piece or board that it means, ``ask`` what is asked before it is done; a key
    without a question acts at once. ``others`` are boards that it can mean instead.
    """
    known = snapshot.known_number
    controls = {
        Control.TURN.value: _control("B", can=snapshot.lifted is not None),
        Control.VOID.value: _control(
            "V", known, _question(snapshot, Control.VOID), can=known is not None
        ),
        Control.DOUGH.value: _control("D"),
        Control.PAUSE.value: _control("P"),
        Control.END.value: _control("E", None, _question(snapshot, Control.END)),
    }
    if snapshot.clocks.record is not None:
        controls |= {control.value: _of_board(snapshot, control) for control in OF_BOARDS}
    return controls


def _control(key: str, name: int | None = None, ask: str = "", *, can: bool = True) -> State:
    return {"key": key, "name": name, "ask": ask, "can": can, "others": {}}


def _question(snapshot: Snapshot, control: Control) -> str:
    return " ".join(armed_sentences(replace(snapshot, armed=control.value)))


def _of_board(snapshot: Snapshot, control: OfBoard) -> State:
    meant = snapshot.clocks.meant(control)
    key = KEY_LETTERS[control]
    if meant is None:
        return _control(key, can=False)
    others = [number for number in _boards_at(snapshot, control) if number != meant.number]
    asks = {str(number): _board_question(snapshot, control, number) for number in others}
    ask = _board_question(snapshot, control, meant.number)
    return {**_control(key, meant.number, ask), "others": asks}


def _board_question(snapshot: Snapshot, control: OfBoard, number: int) -> str:
    armed = replace(snapshot, armed=control.value, armed_board=number)
    return " ".join(armed_sentences(armed)).removesuffix("; another: type its number")


def _boards_at(snapshot: Snapshot, control: OfBoard) -> list[int]:
    record = snapshot.clocks.record
    if record is None or record.boards is None:
        return []
    stages = _STAGES[control]
    return [each.number for each in record.boards.boards if each.pieces and each.stage in stages]
