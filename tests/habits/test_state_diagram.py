"""The diagram of states in the docs is the transition table, and the page keeps to its form."""

from __future__ import annotations

import re

from state_diagram import FENCE, PAGE, diagram, drawn

from weighstation.detect.states import TRANSITIONS

TEXT = PAGE.read_text(encoding="utf-8")


def test_the_diagram_is_the_transition_table() -> None:
    """Mend it with: python tests/habits/state_diagram.py."""
    assert [diagram()] == FENCE.findall(TEXT)
    assert drawn(TEXT) == TEXT


def test_every_transition_is_an_arrow() -> None:
    for state, row in TRANSITIONS.items():
        for stimulus, after in row.items():
            arrow = rf"^    {state.value} --> {after.value}: .*\b{stimulus.value}\b"

            assert re.search(arrow, diagram(), re.MULTILINE)


def test_each_line_of_prose_is_one_sentence() -> None:
    prose = FENCE.sub("", re.sub(r"```.*?```", "", TEXT, flags=re.DOTALL))
    for line in prose.splitlines():
        sentence = line.strip().removeprefix("- ")
        if sentence and not sentence.startswith(("#", "|")):
            assert sentence.endswith((".", ":", "?")), line
            assert not re.search(r"[a-z)`][.] [A-Z]", sentence), line
