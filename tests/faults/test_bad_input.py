"""Bad input, as a person meets it: one plain sentence, the right exit code, no traceback."""

from __future__ import annotations

import errno
import json
import os
import shutil
import sqlite3
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
import serial
from rights import bound_by_rights

from weighstation.station.ports.serial_line import _refused

if TYPE_CHECKING:
    from collections.abc import Iterator

BAND = ("--target", "740", "--under", "8", "--over", "8")
SIMULATED = "simulated://?speed=max&pieces=3&seed=1"
POSIX = pytest.mark.skipif(os.name != "posix", reason="needs POSIX devices and rights")


def weighstation(
    *words: str, home: Path, unprivileged: bool = False
) -> subprocess.CompletedProcess[str]:
    """Run a command in a process of its own; on request as one whom rights bind."""
    return subprocess.run(
        [
            *(bound_by_rights() if unprivileged else ()),
            sys.executable,
            "-m",
            "weighstation",
            *words,
        ],
        check=False,
        capture_output=True,
        text=True,
        timeout=180,
        stdin=subprocess.DEVNULL,
        env=os.environ | {"WEIGHSTATION_HOME": str(home)},
    )


def sentence(result: subprocess.CompletedProcess[str], code: int) -> str:
    """Return the one line on standard error, after checking that it is one, and the exit code."""
    assert code == result.returncode, result.stderr
    assert "Traceback" not in result.stderr
    assert 1 == result.stderr.count("\n")
    assert result.stderr.rstrip().endswith((".", "?", ">", "$USER'", "again."))
    return result.stderr.strip()


def test_no_such_port(tmp_path: Path) -> None:
    said = sentence(weighstation("divide", "--port", "/dev/ttyUSB77", *BAND, home=tmp_path), 3)

    assert said.startswith("There is no port /dev/ttyUSB77. ")


@POSIX
def test_port_that_another_program_has(tmp_path: Path) -> None:
    near, far = os.openpty()
    device = os.ttyname(far)
    with serial.Serial(device, exclusive=True):
        said = sentence(weighstation("divide", "--port", device, *BAND, home=tmp_path), 3)
    os.close(near)
    os.close(far)

    comm = Path("/proc/self/comm")
    we = f"{comm.read_text().strip()} (pid {os.getpid()})" if comm.exists() else "another program"
    assert f"{device} is busy: {we} has it. Close that program and start again." == said


@POSIX
def test_port_that_may_not_be_opened_says_the_cure(tmp_path: Path) -> None:
    near, far = os.openpty()
    device = Path(os.ttyname(far))
    device.chmod(0o000)
    words = ("divide", "--port", str(device), *BAND)
    said = sentence(weighstation(*words, home=tmp_path, unprivileged=True), 3)
    os.close(near)
    os.close(far)

    assert said.startswith(f"You may not open {device}. Run 'sudo ")


@POSIX
@pytest.mark.parametrize(
    ("number", "begins"),
    [
        (errno.EACCES, "You may not open /dev/nobody. Run 'sudo"),
        (errno.EBUSY, "/dev/nobody is busy: another program has it. Close that program"),
        (errno.EAGAIN, "/dev/nobody is busy: another program has it. Close that program"),
        (errno.ENOENT, "There is no port /dev/nobody."),
        (errno.ENXIO, "There is no port /dev/nobody."),
        (None, "/dev/nobody is not a serial port, or not one with these settings."),
    ],
)
def test_each_way_a_port_refuses_has_its_sentence(number: int | None, begins: str) -> None:
    refusal = serial.SerialException(number, "could not open port")

    assert _refused("/dev/nobody", refusal).sentence.startswith(begins)


def test_kind_of_port_that_does_not_exist(tmp_path: Path) -> None:
    said = sentence(weighstation("divide", "--port", "usb://1", *BAND, home=tmp_path), 2)

    assert said.startswith("There is no kind of port 'usb://'. Use one of serial://, ")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("Dear diary,\n", "not a recording"),
        ('{"weight": 12}\n', "not a recording"),
        ("", "empty"),
        ("\0\1\2\3" * 100, "not a recording"),
    ],
)
def test_recording_that_is_not_one(text: str, says: str, tmp_path: Path) -> None:
    file = tmp_path / "diary.jsonl"
    file.write_text(text)
    said = sentence(weighstation("replay", str(file), *BAND, home=tmp_path), 2)

    assert says in said


def test_recording_that_is_not_there(tmp_path: Path) -> None:
    said = sentence(weighstation("replay", "nowhere.jsonl", *BAND, home=tmp_path), 2)

    assert "There is no recording 'nowhere.jsonl'. Check the name of the file." == said


def test_recording_cut_short_is_used_with_a_warning(tmp_path: Path) -> None:
    """A line cut short by a power loss is dropped with one sentence; the rest counts."""
    file = tmp_path / "cut.jsonl"
    lines = [
        json.dumps({"t": round(place / 10, 1), "data": f"S +{grams:05d} g\r\n"})
        for place, grams in enumerate([0] * 20 + [741] * 20 + [0] * 20)
    ]
    file.write_text("\n".join(lines)[:-9])
    result = weighstation("replay", str(file), *BAND, "--events", home=tmp_path)
    events = [json.loads(line) for line in result.stdout.splitlines()]

    assert 0 == result.returncode
    assert 1 == result.stderr.count("\n")
    assert "cut short" in result.stderr
    assert 1 == events[-1]["pieces"]
    assert 741.0 == events[-1]["mean_g"]


def test_products_with_five_faults_are_answered_with_all_five(tmp_path: Path) -> None:
    (tmp_path / "products.toml").write_text(
        """\
[[product]]
name = "Loaf"
scaling_weight_g = "heavy"
under_g = 8
over_g = -1
colour = "brown"

[[product]]
name = "Roll"
scaling_weight_g = 60
under_g = 70
over_g = 2
"""
    )
    said = sentence(weighstation("divide", "Loaf", "--port", SIMULATED, home=tmp_path), 2)

    assert "5 faults" in said
    for fault in ("currency is missing", "scaling_weight_g", "over_g", "'colour'", "under_g"):
        assert fault in said


def test_products_file_that_is_missing_says_how_to_make_one(tmp_path: Path) -> None:
    said = sentence(weighstation("divide", "Loaf", "--port", SIMULATED, home=tmp_path), 2)

    assert "weighstation init" in said
    assert "--target" in said


def test_product_that_is_not_there_names_those_that_are(tmp_path: Path) -> None:
    (tmp_path / "products.toml").write_text(
        'currency = "EUR"\n[[product]]\nname = "Loaf"\nscaling_weight_g = 740\n'
        "under_g = 8\nover_g = 8\n"
    )
    said = sentence(weighstation("divide", "Lof", "--port", SIMULATED, home=tmp_path), 2)

    assert "There is no product 'Lof'. Choose one of 'Loaf'." == said


@pytest.mark.parametrize("command", ["replay", "divide"])
def test_target_below_the_division_of_the_scale(command: str, tmp_path: Path) -> None:
    """The scale shows steps of 5 g: it cannot weigh a piece of 4 g."""
    file = tmp_path / "coarse.jsonl"
    indicated = [0, 5, 10, 15, 20, 25, 40, 60, 85, 5, 0] * 4
    file.write_text(
        "\n".join(
            json.dumps({"t": round(place / 10, 1), "data": f"S +{grams:05d} g\r\n"})
            for place, grams in enumerate(indicated)
        )
    )
    source = (str(file),) if command == "replay" else ("--port", f"replay://{file}?speed=max")
    band = ("--target", "4", "--under", "1", "--over", "1", "--division", "5")
    said = sentence(weighstation(command, *source, *band, home=tmp_path), 2)

    assert "The target of 4 g is below the scale's division of 5 g. Use a finer scale." == said


def test_target_below_a_division_that_is_learned(tmp_path: Path) -> None:
    file = tmp_path / "grams.jsonl"
    file.write_text(
        '{"t": 0.1, "data": "S +00000 g\\r\\n"}\n{"t": 0.2, "data": "S +00001 g\\r\\n"}\n'
    )
    band = ("--target", "0.5", "--under", "0.1", "--over", "0.1")
    said = sentence(weighstation("replay", str(file), *band, home=tmp_path), 2)

    assert "below the scale's division" in said


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of its own, 160 kilobytes large."""
    folder = tmp_path / "disk"
    folder.mkdir()
    mount = shutil.which("mount")
    command = [str(mount), "-t", "tmpfs", "-o", "size=160k", "tmpfs", str(folder)]
    if mount is None or subprocess.run(command, check=False, capture_output=True).returncode:
        pytest.skip("mounting a small disk needs Linux and the administrator")
    yield folder
    subprocess.run(["umount", "--lazy", str(folder)], check=True)


def test_full_disk_counts_nothing_more_and_says_so(small_disk: Path) -> None:
    """The disk fills up in the batch: what was shown is on record, and the rest is owned up to."""
    home = small_disk / "home"
    url = "simulated://?speed=max&pieces=500&seed=1"
    result = weighstation("divide", "--port", url, *BAND, "--events", home=home)
    events = [json.loads(line) for line in result.stdout.splitlines()]
    shown = [event["number"] for event in events if event["event"] == "piece"]
    alarm, said = result.stderr.splitlines()
    subprocess.run(["mount", "-o", "remount,size=8m", str(small_disk)], check=True)
    proof = weighstation("journal", "verify", "--json", home=home)
    with sqlite3.connect(home / "journal.sqlite") as journal:
        kept = journal.execute("SELECT count(*) FROM entry WHERE kind = 'piece_kept'").fetchone()[0]

    assert 4 == result.returncode
    assert "Until then no piece is counted" in alarm
    assert "full" in said
    assert "did not count" in said
    assert shown
    assert len(shown) == kept
    assert json.loads(proof.stdout)["holds"]


def test_journal_of_a_newer_version(tmp_path: Path) -> None:
    weighstation("divide", "--port", SIMULATED, *BAND, "--events", home=tmp_path)
    with sqlite3.connect(tmp_path / "journal.sqlite") as journal:
        journal.execute("PRAGMA user_version = 99")
    for words in (("divide", "--port", SIMULATED, *BAND), ("journal", "verify")):
        said = sentence(weighstation(*words, home=tmp_path), 4)

        assert said.endswith(
            "was written by a newer weighstation. Install the newest weighstation and try again."
        )


@POSIX
def test_home_without_the_right_to_write(tmp_path: Path) -> None:
    home = tmp_path / "home"
    home.mkdir(mode=0o555)
    words = ("divide", "--port", SIMULATED, *BAND)
    said = sentence(weighstation(*words, home=home, unprivileged=True), 4)

    assert said.startswith(f"The home folder {home} cannot be written to (permission denied).")


@POSIX
def test_home_that_cannot_be_made(tmp_path: Path) -> None:
    """A file stands where the folder should be: nobody, not even the administrator, can."""
    (tmp_path / "file").write_text("")
    home = tmp_path / "file" / "home"
    said = sentence(weighstation("divide", "--port", SIMULATED, *BAND, home=home), 4)

    assert said.startswith(f"The home folder {home} cannot be written to")
    assert "--home" in said


@pytest.fixture
def read_only_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk that nothing can be written to."""
    folder = tmp_path / "disk"
    folder.mkdir()
    mount = shutil.which("mount")
    command = [str(mount), "-t", "tmpfs", "-o", "size=1m,ro", "tmpfs", str(folder)]
    if mount is None or subprocess.run(command, check=False, capture_output=True).returncode:
        pytest.skip("mounting a read-only disk needs Linux and the administrator")
    yield folder
    subprocess.run(["umount", "--lazy", str(folder)], check=True)


def test_home_on_a_read_only_disk(read_only_disk: Path) -> None:
    said = sentence(weighstation("divide", "--port", SIMULATED, *BAND, home=read_only_disk), 4)

    assert "read-only" in said


def test_journal_line_that_was_changed_is_named(tmp_path: Path) -> None:
    """Bad news, not bad input: exit code 1, and the first line that does not hold."""
    weighstation("divide", "--port", SIMULATED, *BAND, "--events", home=tmp_path)
    with sqlite3.connect(tmp_path / "journal.sqlite") as journal:
        journal.executescript(
            "".join(
                f"DROP TRIGGER {name};"
                for (name,) in journal.execute(
                    "SELECT name FROM sqlite_schema WHERE type = 'trigger'"
                )
            )
            + 'UPDATE entry SET body = replace(body, \'"verdict":"keep"\', \'"verdict":"add"\')'
            " WHERE seq = 2;"
        )
    said = sentence(weighstation("journal", "verify", home=tmp_path), 1)

    assert said.startswith("Line 2 does not follow from the lines before it.")


@pytest.mark.parametrize(
    "words",
    [
        ("divide", "--port", SIMULATED, "--target", "740"),
        ("divide", "--port", SIMULATED, "--target", "nan", "--under", "8", "--over", "8"),
        ("divide", "--port", SIMULATED, "--target", "0", "--under", "8", "--over", "8"),
        ("divide", "--port", SIMULATED, "--target", "5", "--under", "8", "--over", "8"),
        ("divide", "--port", "simulated://?sped=2", *BAND),
        ("divide", "--port", "simulated://?speed=fast", *BAND),
        ("divide", "--port", "serial:///dev/ttyS99?parity=X", *BAND),
        ("divide", "--port", "", *BAND),
        ("divide", "--resume", "--port", SIMULATED, *BAND),
        ("divide", "--resume", "--fresh", "--port", SIMULATED, *BAND),
        ("divide", "--port", "simulated://?seed=1&seed=2", *BAND),
        ("divide", "--port", SIMULATED, "--target", "1e11", "--under", "8", "--over", "8"),
        ("divide", "--port", SIMULATED, "--target", "1,234.5", "--under", "8", "--over", "8"),
        ("divide", "--port", SIMULATED, *BAND, "--dough", "30"),
        ("divide", "--port", SIMULATED, *BAND, "--division", "0"),
        ("divide", "\udcff", "--port", SIMULATED, *BAND),
        ("divide", "--port", "simulated://\udcff", *BAND),
        ("record", "out.jsonl", "--port", ""),
        ("record", "out.jsonl", "--port", SIMULATED, "--seconds", "nan"),
        ("record", "out.jsonl", "--port", SIMULATED, "--seconds", "inf"),
        ("record", "nowhere/at/all/out.jsonl", "--port", SIMULATED),
        ("divide",),
        ("record", "out.jsonl"),
        ("journal", "verify"),
        ("journal", "sheet"),
        ("journal", "void", "3"),
        ("journal", "note", "3", "text"),
    ],
)
def test_what_cannot_be_done_is_said_in_one_sentence(
    words: tuple[str, ...], tmp_path: Path
) -> None:
    sentence(weighstation(*words, home=tmp_path / "home"), 2)


@pytest.mark.parametrize(
    "words",
    [
        ("divide", "--port", SIMULATED, *BAND, "--pieces", "99999999999999999999999"),
        ("journal", "verify", "--line", "99999999999999999999999", "--head", "ab"),
    ],
)
def test_a_number_past_all_bounds_is_refused_before_anything_is_done(
    words: tuple[str, ...], tmp_path: Path
) -> None:
    home = tmp_path / "home"
    refused = weighstation(*words, home=home)

    assert 2 == refused.returncode
    assert "is not in the range" in refused.stderr
    assert not home.exists()


def test_kilograms_of_dough_are_asked_about(tmp_path: Path) -> None:
    words = ("divide", "--port", SIMULATED, *BAND, "--dough")
    asked = sentence(weighstation(*words, "30", home=tmp_path), 2)
    none = sentence(weighstation(*words, "0,5", home=tmp_path), 2)
    enough = weighstation(*words, "740", "--plain", home=tmp_path)

    assert (
        "--dough 30 g is less than one piece of 740 g. Give it in grams: did you mean 30000?"
        == asked
    )
    assert none.endswith(". Give all the dough on the bench, in grams.")
    assert 0 == enough.returncode, enough.stderr


def test_no_more_dough_is_left_than_there_was(tmp_path: Path) -> None:
    weighstation("divide", "--port", SIMULATED, *BAND, "--dough", "5000", home=tmp_path)
    words = ("journal", "sheet", "--left")
    said = sentence(weighstation(*words, "9000", home=tmp_path), 2)
    both = sentence(weighstation(*words, "4000", "--loss", "1000,5", home=tmp_path), 2)
    all_of_it = weighstation(*words, "4000", "--loss", "1000", home=tmp_path)

    assert said.startswith("--left and --loss make 9000 g, and the whole dough was 5000 g. Weigh ")
    assert both.startswith("--left and --loss make 5000.5 g, ")
    assert 0 == all_of_it.returncode


def test_a_decimal_comma_is_as_good_as_a_point(tmp_path: Path) -> None:
    band = ("--target", "740,5", "--under", "8", "--over", "8")
    done = weighstation("divide", "--port", SIMULATED, *band, "--plain", home=tmp_path)

    assert 0 == done.returncode, done.stderr
    assert "732.5 to 748.5 g" in done.stdout


def test_an_empty_file_becomes_a_journal_and_that_is_said_once(tmp_path: Path) -> None:
    (tmp_path / "journal.sqlite").touch()
    verified = weighstation("journal", "verify", home=tmp_path)
    unnamed = weighstation("divide", home=tmp_path)
    begun = weighstation("divide", "--port", SIMULATED, *BAND, "--events", home=tmp_path)
    again = weighstation("divide", "--port", SIMULATED, *BAND, "--events", home=tmp_path)

    assert 1 == verified.returncode
    assert "'weighstation divide' begins a new journal in it." in verified.stderr
    assert unnamed.stderr.startswith("Nothing was divided here before.")
    assert (0, "journal.sqlite was empty: a new journal begins in it.\n") == (
        begun.returncode,
        begun.stderr,
    )
    assert (0, "") == (again.returncode, again.stderr)
    assert 0 == weighstation("journal", "verify", home=tmp_path).returncode


def test_an_empty_port_does_not_mean_the_scale_used_last(tmp_path: Path) -> None:
    weighstation("divide", "--port", SIMULATED, *BAND, "--events", home=tmp_path)
    file = tmp_path / "taken.jsonl"
    for words in (("divide", *BAND), ("record", str(file))):
        said = sentence(weighstation(*words, "--port", "", home=tmp_path), 2)

        assert said.startswith("The port is empty. Write one like ")
    assert not file.exists()


def test_recording_is_never_written_over_a_file(tmp_path: Path) -> None:
    file = tmp_path / "kept.txt"
    file.write_text("kept")
    words = ("record", str(file), "--port", SIMULATED)
    said = sentence(weighstation(*words, home=tmp_path), 2)

    assert "already" in said
    assert "kept" == file.read_text()


def test_reader_that_goes_away_is_no_fault(tmp_path: Path) -> None:
    """`weighstation replay ... | head` must end quietly."""
    file = tmp_path / "long.jsonl"
    indicated = ([0] * 10 + [700] * 10 + [741] * 10) * 400
    file.write_text(
        "\n".join(
            json.dumps({"t": round(place / 10, 1), "data": f"S +{grams:05d} g\r\n"})
            for place, grams in enumerate(indicated)
        )
    )
    process = subprocess.Popen(
        [sys.executable, "-m", "weighstation", "replay", str(file), *BAND, "--events"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    with process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.readline()
        process.stdout.close()
        said = process.stderr.read()

    assert "" == said
    assert 0 == process.returncode
