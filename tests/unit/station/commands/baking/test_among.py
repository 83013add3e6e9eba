"""Baked loaves of some batches, from their own lines: the same as from reading a whole journal."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest
from test_baked import CHECK, LOAF, PAN, Journal, every

from weighstation.journal import Kind, Settled, baked, scale_checked, settled
from weighstation.station.commands.baking.among import loaves_among
from weighstation.station.commands.baking.baked import newest_of

SCALES = (LOAF.scale, PAN)


def journal(rng: Random) -> Journal:
    """Batches, loaves on either scale, checks that fail now and then, and words that settle one."""
    written, failed = Journal(), 0
    for place in range(12):
        for _ in range(rng.randrange(3)):
            scale, is_fit = rng.choice(SCALES), rng.random() < 0.6
            line = written.write(
                Kind.SCALE_CHECKED,
                scale_checked(replace(CHECK, scale=scale, port=scale, is_fit=is_fit)),
            )
            failed = failed if is_fit else line
            if failed and rng.random() < 0.3:
                said = settled(Settled(failed, line, "Ada", "the pan was not empty"))
                written.write(Kind.NOTED, said)
        run = f"r{place}"
        written.run(run, 741, 739, 744)
        for number in range(1, 1 + rng.randrange(4)):
            loaf = replace(LOAF, batch=run, number=number, scale=rng.choice(SCALES), piece=number)
            written.write(Kind.BAKED, baked(replace(loaf, scale_identity=loaf.scale)))
        if rng.random() < 0.3:
            written.void(run, 3, 744)
    return written


@pytest.mark.parametrize("seed", range(40))
def test_some_batches_are_as_a_whole_reading_has_them(seed: int) -> None:
    rng = Random(seed)
    store = journal(rng).store
    whole = {batch.batch: batch for batch in every(store)}
    some = [run for run in dict.fromkeys(newest_of(store).values()) if rng.random() < 0.3]

    found = loaves_among(store, some)

    assert {run: whole[run] for run in some if run in whole} == {each.batch: each for each in found}


def test_that_would_notice_a_check_left_out() -> None:
    """Loaves of these journals are doubtful, are not, and are doubtful no more."""
    batches = [batch for seed in range(40) for batch in every(journal(Random(seed)).store)]
    doubtful = [bool(batch.doubtful) for batch in batches]

    assert any(doubtful)
    assert not all(doubtful)


def test_checks_long_before_and_long_after_are_not_read(monkeypatch: pytest.MonkeyPatch) -> None:
    written = Journal()
    fit = scale_checked(CHECK)
    for place in range(6):
        for scale in SCALES:
            written.write(Kind.SCALE_CHECKED, {**fit, "scale": scale, "port": scale})
        written.run(f"r{place}", 741)
        written.loaves(f"r{place}", (652, 1))
    read: list[int] = []
    both = (type(written.store).scale_checks, type(written.store).scale_checks_after)
    for method in both:

        def noting(*given: object, _method: object = method, **named: object) -> object:
            for entry in _method(*given, **named):  # type: ignore[operator]
                read.append(entry.seq)
                yield entry

        monkeypatch.setattr(type(written.store), method.__name__, noting)

    loaves_among(written.store, ["r3"])

    lines = [e.seq for e in written.store.entries() if e.kind is Kind.SCALE_CHECKED]
    assert sorted(read) == lines[6:10]
