"""Facts -> Entry.

Every fact becomes one numbered line that carries the digest of the line before it and is never
changed; totals are integers that follow from the lines alone. Pure: the stores in
``station/stores`` bring the disk.
"""

from __future__ import annotations

from weighstation.journal import codec
from weighstation.journal.board_lines import (
    BoardStage,
    board_closed,
    board_moved,
    board_opened,
    read_stage,
)
from weighstation.journal.chain import Verifier, digest, first_set_back, verify
from weighstation.journal.doubts import (
    Doubted,
    Doubts,
    Settled,
    checked_names,
    is_good_check,
    read_settled,
    scale_name,
    settled,
    settling_fault,
)
from weighstation.journal.dump import dump_run
from weighstation.journal.entry import Body, Entry, Head, Line, body_text, read_body
from weighstation.journal.facts import LastCheck, PieceFacts, RunStarted, Why, facts
from weighstation.journal.follow import Step, follow
from weighstation.journal.kinds import Kind
from weighstation.journal.lifts import Lifts, StruckOut, lifts_of
from weighstation.journal.loaves import (
    BakedLoaf,
    CountedLoaf,
    LoafKey,
    Loaves,
    baked,
    baked_struck_out,
    read_baked,
)
from weighstation.journal.projection import (
    RunState,
    TallyChange,
    TallyKey,
    advance,
    apply,
    run_of,
    tally_of,
    together,
)
from weighstation.journal.scale_checks import (
    CheckFinding,
    CheckStep,
    HeldAgainst,
    ScaleChecked,
    UsedWeight,
    read_scale_checked,
    scale_checked,
)
from weighstation.journal.sums import Sums

__all__ = [
    "BakedLoaf",
    "BoardStage",
    "Body",
    "CheckFinding",
    "CheckStep",
    "CountedLoaf",
    "Doubted",
    "Doubts",
    "Entry",
    "Head",
    "HeldAgainst",
    "Kind",
    "LastCheck",
    "Lifts",
    "Line",
    "LoafKey",
    "Loaves",
    "PieceFacts",
    "RunStarted",
    "RunState",
    "ScaleChecked",
    "Settled",
    "Step",
    "StruckOut",
    "Sums",
    "TallyChange",
    "TallyKey",
    "UsedWeight",
    "Verifier",
    "Why",
    "advance",
    "apply",
    "baked",
    "baked_struck_out",
    "board_closed",
    "board_moved",
    "board_opened",
    "body_text",
    "checked_names",
    "codec",
    "digest",
    "dump_run",
    "facts",
    "first_set_back",
    "follow",
    "is_good_check",
    "lifts_of",
    "read_baked",
    "read_body",
    "read_scale_checked",
    "read_settled",
    "read_stage",
    "run_of",
    "scale_checked",
    "scale_name",
    "settled",
    "settling_fault",
    "tally_of",
    "together",
    "verify",
]
