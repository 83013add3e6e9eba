"""The diagram of the detector's states, drawn from its transition table.

Run ``python tests/habits/state_diagram.py`` to draw it anew in ``docs/explanation/settling.md``.
"""

from __future__ import annotations

import re
from pathlib import Path

from weighstation.detect.states import TRANSITIONS

PAGE = Path(__file__).parents[2] / "docs" / "explanation" / "settling.md"
FENCE = re.compile(r"```mermaid\n.*?```\n", re.DOTALL)


def diagram() -> str:
    """Return the table as a Mermaid block; stimuli that lead the same way share an arrow."""
    first = next(iter(TRANSITIONS))
    lines = [f"    [*] --> {first.value}"]
    for state, row in TRANSITIONS.items():
        arrows: dict[str, list[str]] = {}
        for stimulus, after in row.items():
            arrows.setdefault(after.value, []).append(stimulus.value)
        lines += [
            f"    {state.value} --> {after}: {', '.join(stimuli)}"
            for after, stimuli in arrows.items()
        ]
    return "\n".join(["```mermaid", "stateDiagram-v2", *lines, "```", ""])


def drawn(text: str) -> str:
    """Return a page with its diagram drawn anew."""
    return FENCE.sub(lambda _: diagram(), text)


if __name__ == "__main__":
    PAGE.write_text(drawn(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
