"""Short mornings, one for each way of weighing and each hard fact of a bench."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.quantities import Unit
from weighstation.simulate.hands import Habits, HandsSpec, Span
from weighstation.simulate.lines import LineShape, Speech
from weighstation.simulate.link import LinkSpec
from weighstation.simulate.morning import Bench, Morning, morning
from weighstation.simulate.presets import HANDS, SCALES, hands_for
from weighstation.simulate.smoothing import Filter
from weighstation.specification import Way

if TYPE_CHECKING:
    from weighstation.simulate.scale import ScaleSpec


@dataclass(frozen=True, slots=True)
class Scene:
    """A morning about to begin.

    Parameters
    ----------
    name : str
    about : str
        What it shows, in one sentence.
    scale : ScaleSpec
    hands : HandsSpec
    pieces : int
    seed : int
    """

    name: str
    about: str
    scale: ScaleSpec
    hands: HandsSpec
    pieces: int = 5
    seed: int = 1

    def bench(self) -> Bench:
        """Return the bench, to be played as far as one listens.

        Returns
        -------
        Bench
        """
        return Bench(self.scale, self.hands, pieces=self.pieces, seed=self.seed, scene=self.name)

    def morning(self) -> Morning:
        """Return the whole morning with its truth.

        Returns
        -------
        Morning
        """
        return morning(self.scale, self.hands, pieces=self.pieces, seed=self.seed, scene=self.name)


_SCALE = SCALES["bench"]
_HANDS = replace(HANDS["skilled"], habits=Habits(hand_rests=0.0))


def _with(habits: Habits, **changes: object) -> HandsSpec:
    return replace(_HANDS, habits=habits, **changes)  # type: ignore[arg-type]


def _speaking(shape: LineShape, *, comma: bool = False, end: str = "\r\n") -> ScaleSpec:
    return replace(_SCALE, speech=Speech(shape, comma=comma, end=end))


def _plain() -> list[Scene]:
    """Return the three ways of weighing."""
    board = replace(_HANDS, way=Way.BUILD_UP, tray_g=900.0, board_pieces=4)
    bulk = replace(_HANDS, way=Way.TAKE_AWAY, board_pieces=5)
    return [
        Scene("single", "Each piece comes onto the empty pan and leaves it.", _SCALE, _HANDS),
        Scene("build-up", "Pieces are added on a board until it is full.", _SCALE, board),
        Scene("take-away", "Each piece is cut away from the dough on the pan.", _SCALE, bulk),
        Scene(
            "build-up-tared",
            "The tare key is pressed once the board stands there and after each piece.",
            _SCALE,
            replace(board, tare_each=True),
            5,
        ),
        Scene(
            "take-away-tared",
            "The tare key is pressed after each piece, so that its weight shows as a minus.",
            _SCALE,
            replace(bulk, tare_each=True),
            5,
        ),
    ]


def _touching() -> list[Scene]:
    """Return what hands do to a piece on the pan."""
    wide = {"spread": 0.012}
    return [
        Scene(
            "hand-rests",
            "The hand stays on each piece for up to a second after placing it.",
            _SCALE,
            _with(Habits(hand_rests=1.0)),
        ),
        Scene(
            "press-while-adding",
            "First cuts are light; each addition is pressed on.",
            _SCALE,
            _with(Habits(hand_rests=0.0), bias=-0.035, **wide),
        ),
        Scene(
            "partial-lift",
            "First cuts are heavy; each trim lifts part of the weight for a moment.",
            _SCALE,
            _with(Habits(hand_rests=0.0), bias=0.035, **wide),
        ),
        Scene(
            "prods",
            "Pieces are pressed for no reason and weigh what they weighed.",
            _SCALE,
            _with(Habits(hand_rests=0.0, prods=0.7)),
        ),
        Scene(
            "sticky-lifts",
            "The dough clings as it is lifted, and the pan follows it up for a moment.",
            _SCALE,
            _with(Habits(hand_rests=0.0, sticks=1.0)),
            3,
        ),
        Scene(
            "two-at-once",
            "Two pieces come onto the pan together; one is taken off and comes later.",
            _SCALE,
            _with(Habits(doubles=0.5)),
        ),
        Scene(
            "learner",
            "A learner's wide cuts, slow hands and many touches.",
            _SCALE,
            replace(HANDS["learner"], under_g=5.0, over_g=5.0),
            4,
        ),
    ]


def _lifted() -> list[Scene]:
    """Return pieces lifted out of band."""
    off = {"spread": 0.025}
    return [
        Scene(
            "came-back",
            "Pieces out of band go to the bench, are corrected and come back.",
            _SCALE,
            _with(Habits(lifts=0.8), **off),
        ),
        Scene(
            "boarded",
            "Pieces out of band are boarded as they are.",
            _SCALE,
            _with(Habits(boards_anyway=0.8), **off),
        ),
        Scene(
            "back-and-boarded",
            "Some pieces out of band come back, some are boarded as they are.",
            _SCALE,
            _with(Habits(lifts=0.6, boards_anyway=0.4), **off),
            8,
        ),
    ]


def _pan() -> list[Scene]:
    """Return what the pan and the bench do."""
    flour = Habits(residue_g=1.2, wipes=0.3)
    return [
        Scene(
            "ringing",
            "A pan that rings at 5 Hz with 5 % damping.",
            SCALES["ringing"],
            HANDS["patient"],
        ),
        Scene(
            "knocks",
            "The bench is knocked while the pan is loaded and while it is empty.",
            _SCALE,
            _with(Habits(knocks=0.5)),
        ),
        Scene("flour", "Flour stays on the pan and is wiped off.", _SCALE, _with(flour)),
        Scene(
            "no-zero-tracking",
            "Flour stays on the pan of a scale that does not follow its zero.",
            replace(_SCALE, tracking=False),
            _with(flour),
        ),
        Scene(
            "creep",
            "The cell gives way by two thousandths of the load within seconds.",
            replace(_SCALE, creep=0.002, creep_s=6.0),
            replace(_HANDS, rest=Span(2.0, 0.3, 1.0, 4.0)),
        ),
        Scene(
            "tare-mid-piece",
            "The tare key is pressed by mistake while a piece lies on the pan.",
            _SCALE,
            _with(Habits(tares=0.5)),
        ),
        Scene(
            "negative-pan",
            "A tared tray is taken off, so that the pan goes negative, and put back.",
            _SCALE,
            _with(Habits(tray_offs=0.6), tray_g=350.0),
            4,
        ),
        Scene(
            "overload",
            "Someone leans on the pan between two pieces.",
            _SCALE,
            _with(Habits(overloads=0.7)),
        ),
    ]


def _speech() -> list[Scene]:
    """Return what the lines and the link do."""
    return [
        Scene("no-mark", "A bare number, no mark at all.", _speaking(LineShape.BARE), _HANDS),
        Scene(
            "kilograms",
            "Kilograms with a comma; a digit says whether it is steady.",
            replace(
                _speaking(LineShape.FLAG_LAST, comma=True, end="\r"),
                unit=Unit.KILOGRAM,
                division="0.001",
            ),
            _HANDS,
        ),
        Scene(
            "pounds",
            "Pounds, with words round the number.",
            replace(_speaking(LineShape.WORDS, end="\n"), unit=Unit.POUND, division="0.002"),
            _HANDS,
        ),
        Scene(
            "frames-lost",
            "One line in twelve does not arrive, some arrive torn.",
            replace(_SCALE, link=LinkSpec(lost=0.08, torn=0.02)),
            _HANDS,
        ),
        Scene(
            "bursts",
            "Lines arrive in two parts, or several at once after a stall.",
            replace(
                _SCALE,
                filter=Filter.FIRST_ORDER,
                link=LinkSpec(split=0.1, stall=0.04),
                speech=Speech(LineShape.FIELDS),
            ),
            _HANDS,
        ),
    ]


def _divisions() -> list[Scene]:
    """Return fine and coarse scales."""
    scenes = [
        Scene(name, f"A scale that reads to {SCALES[scale].division} g.", SCALES[scale], hands)
        for name, scale, hands in (
            ("division-0.1", "fine", hands_for("fine")),
            ("division-5", "coarse", hands_for("coarse")),
        )
    ]
    adaptive = replace(SCALES["quick"], filter=Filter.ADAPTIVE, window_s=0.6, rate_hz=15.0)
    about = "A filter that starts afresh when the load jumps, at 15 lines a second."
    return [*scenes, Scene("adaptive-filter", about, adaptive, HANDS["fast"], 4)]


def _instruments() -> list[Scene]:
    """Return the less usual filters, and an irregular link."""
    bare = Speech(LineShape.BARE)
    cascade = replace(SCALES["half"], filter=Filter.CASCADE, window_s=0.7)
    middle = replace(_SCALE, filter=Filter.MEDIAN, window_s=0.4, rate_hz=5.0)
    easing = replace(SCALES["fine"], filter=Filter.EASING, window_s=0.9, speech=bare)
    late = replace(SCALES["quick"], speech=bare, link=LinkSpec(jitter_s=0.08))
    return [
        Scene(
            "cascade-filter",
            "A filter of three stages, on a scale that reads to 0.5 g.",
            cascade,
            hands_for("half"),
            3,
        ),
        Scene("median-filter", "A filter by median, at 5 lines a second.", middle, _HANDS, 4),
        Scene(
            "easing-filter",
            "A filter that is slow once the value is calm, at 0.1 g, without a mark.",
            easing,
            hands_for("fine"),
            3,
        ),
        Scene(
            "jitter",
            "Lines arrive up to 80 ms late, each by another delay.",
            late,
            HANDS["fast"],
            2,
        ),
    ]


SCENES: dict[str, Scene] = {
    scene.name: scene
    for scene in (
        *_plain(),
        *_touching(),
        *_lifted(),
        *_pan(),
        *_speech(),
        *_divisions(),
        *_instruments(),
    )
}


def scene(name: str, seed: int = 1) -> Scene:
    """Return a scene by its name.

    Parameters
    ----------
    name : str
        A key of ``SCENES``.
    seed : int

    Returns
    -------
    Scene

    Raises
    ------
    SpecificationError
        If there is none.
    """
    if name not in SCENES:
        raise SpecificationError(
            f"There is no scene '{name}'.", hint=f"Choose one of {', '.join(SCENES)}."
        )
    return replace(SCENES[name], seed=seed)
