"""Every public name says what it takes in which unit, and what it raises."""

from __future__ import annotations

import ast
import inspect
import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from weighstation import errors

if TYPE_CHECKING:
    from collections.abc import Iterator

ROOT = Path(__file__).parents[2]
UNITS = {
    "_g": "gram",
    "_mg": "milligram",
    "_kg": "kilogram",
    "_s": "second",
    "_ms": "millisecond",
    "_hz": "hertz",
    "_pct": "percent",
}
OURS = {
    name
    for name, value in vars(errors).items()
    if inspect.isclass(value) and issubclass(value, errors.WeighstationError)
}
MODULES = sorted((ROOT / "weighstation").rglob("*.py"))
Named = ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef


def public(tree: ast.Module) -> Iterator[Named]:
    """Yield the public functions, classes and methods of a module."""
    for node in tree.body:
        if isinstance(node, Named) and not node.name.startswith("_"):
            yield node
            if isinstance(node, ast.ClassDef):
                yield from (
                    member
                    for member in node.body
                    if isinstance(member, Named) and not member.name.startswith("_")
                )


def section(docstring: str, title: str) -> str:
    """Return what stands under a title of a numpydoc docstring."""
    found = re.search(
        rf"^{title}\n-+\n(.*?)(?=^\S[^\n]*\n-+\n|\Z)", docstring, re.MULTILINE | re.DOTALL
    )
    return found[1] if found else ""


def parameter_lines(docstring: str) -> dict[str, str]:
    """Return each parameter's line: its name, and what is said of its kind and unit."""
    lines: dict[str, str] = {}
    for line in section(docstring, "Parameters").splitlines():
        found = re.match(r"^([\w*][\w*, ]*) : (.+)$", line)
        if found:
            lines |= {name.strip(" *"): found[2] for name in found[1].split(",")}
    return lines


def lacking_units(node: Named) -> Iterator[str]:
    """Yield the parameters whose name ends in a unit that their line does not say."""
    for name, said in parameter_lines(ast.get_docstring(node) or "").items():
        suffix = next((unit for unit in UNITS if name.endswith(unit)), None)
        if "_per_" in name or "parts of gravity" in said:
            continue
        if suffix and UNITS[suffix] not in said and suffix[1:] not in said.split():
            yield f"{node.name}({name}): '{said}' does not say {UNITS[suffix]}s"


def unsaid_raises(node: Named) -> Iterator[str]:
    """Yield our errors that a function raises itself and does not list."""
    said = section(ast.get_docstring(node) or "", "Raises")
    for part in ast.walk(node):
        if isinstance(part, ast.Raise) and isinstance(part.exc, ast.Call):
            name = getattr(part.exc.func, "id", "")
            if name in OURS and name not in said:
                yield f"{node.name} raises {name} and does not say so"


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_docstrings_say_units_and_errors(path: Path) -> None:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    faults = [fault for node in public(tree) for fault in lacking_units(node)]
    functions = (node for node in public(tree) if not isinstance(node, ast.ClassDef))
    faults += [fault for node in functions for fault in unsaid_raises(node)]

    assert [] == faults


def test_the_walk_finds_what_is_wrong() -> None:
    """A test that cannot fail is none: a docstring without unit and without error is found."""
    source = (
        "def weigh(net_mg: int) -> None:\n"
        '    """Weigh.\n\n    Parameters\n    ----------\n    net_mg : int\n    """\n'
        '    raise ScaleError("x")\n'
    )
    node = next(public(ast.parse(source)))

    assert 1 == len(list(lacking_units(node)))
    assert 1 == len(list(unsaid_raises(node)))
