"""What is imported when, seen from a process of its own."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

HEAVY = (
    *("numpy", "pandas", "scipy", "matplotlib", "rich", "sqlite3", "serial", "asyncio"),
    *("hid", "hidraw"),
    *("weighstation.acquire", "weighstation.detect", "weighstation.simulate"),
    *("weighstation.station.bench.runner", "weighstation.report"),
    *("decimal", "weighstation.specification.limits", "weighstation.specification.products_file"),
)
PURE = ("acquire", "detect", "evaluate", "journal")


def loaded_after(code: str) -> set[str]:
    """Return the names of the modules that are there after some code has run."""
    program = f"import json, sys\n{code}\nsys.stderr.write(json.dumps(sorted(sys.modules)))"
    result = subprocess.run(
        [sys.executable, "-c", program], check=True, capture_output=True, text=True
    )
    return set(json.loads(result.stderr))


def test_help_imports_nothing_heavy() -> None:
    code = (
        "from weighstation.cli import app\ntry:\n    app(['--help'])\nexcept SystemExit:\n    pass"
    )
    loaded = loaded_after(code)

    assert "weighstation.cli" in loaded
    assert set() == loaded & set(HEAVY)


@pytest.mark.parametrize("package", [*PURE, "plan"])
def test_pure_stages_use_the_standard_library_only(package: str) -> None:
    loaded = loaded_after(f"import weighstation.{package}")
    names = {name.partition(".")[0] for name in loaded}
    foreign = {
        name
        for name in names - set(sys.stdlib_module_names)
        if not name.startswith("_") and name != "weighstation"
    }
    # what a virtual environment loads at start-up is there without us too
    assert set() == foreign - {name.partition(".")[0] for name in loaded_after("pass")}


@pytest.mark.parametrize("package", PURE)
def test_pure_stages_do_not_load_each_other(package: str) -> None:
    loaded = loaded_after(f"import weighstation.{package}")
    others = {f"weighstation.{other}" for other in PURE if other != package}

    assert set() == loaded & others


def test_a_replay_of_events_imports_neither_screen_nor_port() -> None:
    loaded = loaded_after("import weighstation.station.commands.dividing.replay")

    assert set() == loaded & {
        *("rich", "serial", "numpy", "sqlite3", "tomllib", "urllib.parse"),
        *("weighstation.report", "weighstation.station.ports"),
    }


def test_the_detector_of_a_bench_needs_no_more_of_monitor_than_its_sums() -> None:
    loaded = loaded_after("import weighstation.station.bench.watch")
    of_monitor = {name for name in loaded if name.startswith("weighstation.monitor.")}

    assert "weighstation.monitor.bench" in of_monitor
    assert set() == loaded & {"numpy", "statistics"}
    assert set() == {name for name in of_monitor if ".process" in name or "distributions" in name}
