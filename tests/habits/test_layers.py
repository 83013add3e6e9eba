"""The dough flows one way: the import contract of pyproject.toml holds."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PURE = ("acquire", "detect", "evaluate", "journal", "monitor", "plan")
FORBIDDEN_CALLS = {"open", "print", "input"}
FORBIDDEN_MODULES = {"time", "os", "socket", "threading", "subprocess", "random", "pathlib"}


def test_import_contract_holds() -> None:
    result = subprocess.run(
        [str(Path(sys.executable).with_name("lint-imports")), "--no-cache"],
        check=False,
        capture_output=True,
        text=True,
        cwd=ROOT,
    )

    assert 0 == result.returncode, result.stdout


@pytest.mark.parametrize(
    "path",
    [path for package in PURE for path in (ROOT / "weighstation" / package).rglob("*.py")],
    ids=lambda path: f"{path.parent.name}/{path.stem}",
)
def test_pure_modules_ask_for_no_time_open_no_file_and_print_nothing(path: Path) -> None:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    called = {
        node.func.id
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
    }
    imported = {name.partition(".")[0] for node in ast.walk(tree) for name in _imported(node)}
    asks = {
        node.attr
        for node in ast.walk(tree)
        if isinstance(node, ast.Attribute) and node.attr in ("now", "utcnow", "today")
    }

    assert set() == called & FORBIDDEN_CALLS
    assert set() == imported & FORBIDDEN_MODULES
    assert set() == asks


def _imported(node: ast.AST) -> list[str]:
    if isinstance(node, ast.Import):
        return [alias.name for alias in node.names]
    if isinstance(node, ast.ImportFrom) and node.module:
        return [node.module]
    return []
