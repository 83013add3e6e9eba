"""Look for bytes that break a law of `acquire`, led by the branches that they reach.

    python tests/benchmarks/ten_million_fuzz.py [EXECUTIONS] [TARGET]
    python tests/benchmarks/ten_million_fuzz.py --planted [EXECUTIONS]

Needs ``pip install -e '.[test,fuzz]'``. The executions are shared out over the targets, or go to
one; each target runs in a process of its own and says how many were run, how many a second, and
what was covered (edges, and features as libFuzzer counts them). Ends with an error at the first law
that is broken, with the bytes that broke it. With ``--planted`` each of some known bugs is put in,
one after the other, and has to be found.
"""

from __future__ import annotations

import importlib
import importlib.util
import re
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

if TYPE_CHECKING:
    from collections.abc import Callable

FUZZ = Path(__file__).parents[1] / "fuzz"
sys.path.insert(0, str(FUZZ))
SHARES = {
    "lines": 20,
    "back_in_step": 25,
    "hid": 20,
    "framing": 15,
    "recording": 15,
    "learns": 4,
    "stays_small": 1,
}
"""Parts of a hundred: the slow ones get fewer."""
MOST_BYTES = 400
SEED = 20_260
_DONE = re.compile(r"#(\d+)\s+DONE\s+cov: (\d+) ft: (\d+)")
_TALK = ("INFO", "WARNING", "#", '"', "==")
_FOUND = re.compile(r"broken after (\d+) executions")


def main() -> None:
    words = sys.argv[1:]
    if importlib.util.find_spec("atheris") is None:
        sys.exit("This needs atheris: pip install -e '.[test,fuzz]'")
    if words[:1] == ["--child"]:
        child(*words[1:])
    if words[:1] == ["--planted"]:
        look_for_planted(int(words[1]) if len(words) > 1 else 100_000)
        return
    executions = int(words[0]) if words else 10_000_000
    targets = words[1:] or list(SHARES)
    parts = sum(SHARES[target] for target in targets)
    total = sum(look(target, executions * SHARES[target] // parts) for target in targets)
    print(f"{total} executions, no law broken.")


def look(target: str, executions: int) -> int:
    """Run one target; return how many executions there were, or end with what broke a law."""
    began_s = time.monotonic()
    result = run_child(target, executions, "")
    done = _DONE.search(result.stderr)
    if result.returncode or done is None:
        sys.exit(f"{target}: {told(result)}")
    count, edges, features = map(int, done.groups())
    seconds = time.monotonic() - began_s
    print(
        f"{target:12}  {count:>8} executions  {count / seconds:>7.0f} a second"
        f"  {edges} edges  {features} features",
        flush=True,
    )
    return count


def look_for_planted(executions: int) -> None:
    """Put in each known bug, and end with an error if one is not found."""
    planted = importlib.import_module("planted")
    for name, bug in planted.BUGS.items():
        result = run_child(bug.target, executions, name)
        found = _FOUND.search(result.stderr)
        if found is None:
            sys.exit(
                f"not found in {executions} executions of {bug.target}: {name}\n{told(result)}"
            )
        print(f"{name}: found by {bug.target} after {found[1]} executions", flush=True)


def run_child(target: str, executions: int, bug: str) -> subprocess.CompletedProcess[str]:
    with tempfile.TemporaryDirectory() as folder:
        return subprocess.run(
            [sys.executable, __file__, "--child", target, str(executions), bug, folder],
            check=False,
            capture_output=True,
            text=True,
            errors="replace",
        )


def told(result: subprocess.CompletedProcess[str]) -> str:
    """Return the end of what a child said, without libFuzzer's talk of its progress."""
    said = (result.stdout + result.stderr).splitlines()
    return "\n".join([line for line in said if not line.startswith(_TALK)][-30:])


def child(target: str, executions: str, bug: str, folder: str) -> NoReturn:
    """Run one target under the fuzzer; it ends the process."""
    atheris: Any = importlib.import_module("atheris")
    with atheris.instrument_imports(include=["weighstation"]):
        law = importlib.import_module("targets").TARGETS[target]
    if bug:
        importlib.import_module("planted").BUGS[bug].put_in(setattr)
    seeds = Path(folder) / "seeds"
    seeds.mkdir()
    for place, data in enumerate(importlib.import_module("corpus").of(target)):
        (seeds / str(place)).write_bytes(data)
    options = [f"-runs={executions}", f"-max_len={MOST_BYTES}", f"-seed={SEED}", "-verbosity=1"]
    options += ["-rss_limit_mb=2048", "-timeout=60", "-len_control=20"]
    options += ["-print_final_stats=0", f"-artifact_prefix={folder}/"]
    atheris.Setup([sys.argv[0], *options, str(seeds)], counted(law))
    atheris.Fuzz()
    sys.exit(0)


def counted(law: Callable[[bytes], None]) -> Callable[[bytes], None]:
    """Return a law that says after how many executions it was broken, and by what bytes."""
    count = 0

    def run(data: bytes) -> None:
        nonlocal count
        count += 1
        try:
            law(data)
        except Exception:
            print(f"broken after {count} executions by {data.hex()}", file=sys.stderr, flush=True)
            raise

    return run


if __name__ == "__main__":
    main()
