"""A package gives every name of its stub, and imports it when it is first asked for."""

from __future__ import annotations

import json
import subprocess
import sys
import zipfile
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules

import pytest

import weighstation

ROOT = Path(weighstation.__file__).parent
FACES = [stub.parent.name for stub in sorted(ROOT.glob("*/__init__.pyi"))]
NAMES = [
    (package, name) for package in FACES for name in dir(import_module(f"weighstation.{package}"))
]


def said_by(code: str, *, path: str = "") -> list[str]:
    """Return the list that some code leaves as `said`, in a process of its own."""
    program = f"import json, sys\nsys.path.insert(0, {path!r})\n{code}\nprint(json.dumps(said))"
    result = subprocess.run(
        [sys.executable, "-c", program], check=True, capture_output=True, text=True, cwd="/"
    )
    found: list[str] = json.loads(result.stdout)
    return found


def test_three_packages_have_a_face() -> None:
    assert ["monitor", "plan", "specification"] == FACES


@pytest.mark.parametrize(("package", "name"), NAMES)
def test_every_name_comes_from_the_module_that_defines_it(package: str, name: str) -> None:
    found = getattr(import_module(f"weighstation.{package}"), name)
    lines = (ROOT / package / "__init__.pyi").read_text(encoding="utf-8").splitlines()
    (home,) = (line.split()[1] for line in lines if line.endswith(f" as {name}"))

    assert vars(import_module(home))[name] is found
    assert home == getattr(found, "__module__", home) or not callable(found)


@pytest.mark.parametrize("package", FACES)
def test_no_name_is_that_of_a_module_beside_the_stub(package: str) -> None:
    beside = {module.name for module in iter_modules([str(ROOT / package)])}

    assert set() == beside & set(dir(import_module(f"weighstation.{package}")))


@pytest.mark.parametrize("package", FACES)
def test_a_star_gives_what_dir_and_all_list(package: str) -> None:
    module = import_module(f"weighstation.{package}")
    names: dict[str, object] = {}
    exec(f"from weighstation.{package} import *", names)

    assert dir(module) == sorted(module.__all__) == sorted(set(names) - {"__builtins__"})


@pytest.mark.parametrize("package", FACES)
def test_a_name_that_is_none_is_refused(package: str) -> None:
    module = import_module(f"weighstation.{package}")

    with pytest.raises(AttributeError, match="has no attribute 'ready_dough'"):
        module.ready_dough  # noqa: B018 - asking is the test


@pytest.mark.parametrize("package", FACES)
def test_a_package_alone_imports_none_of_its_modules(package: str) -> None:
    code = f"import weighstation.{package}\nsaid = [*sys.modules]"

    assert [] == [name for name in said_by(code) if name.startswith(f"weighstation.{package}.")]


def test_one_name_imports_its_own_module_only() -> None:
    code = "from weighstation.monitor import Moments\nsaid = [*sys.modules]"
    loaded = [name for name in said_by(code) if name.startswith("weighstation.monitor.")]

    assert ["weighstation.monitor.moments"] == loaded


def test_a_package_in_a_zip_file_has_its_names_too(tmp_path: Path) -> None:
    archive = tmp_path / "weighstation.zip"
    with zipfile.ZipFile(archive, "w") as file:
        for path in [*ROOT.rglob("*.py"), *ROOT.rglob("*.pyi")]:
            file.write(path, path.relative_to(ROOT.parent))
    code = "from weighstation.plan import Room\nimport weighstation\nsaid = [weighstation.__file__]"

    assert [str(archive / "weighstation" / "__init__.py")] == said_by(code, path=str(archive))
