"""Facts -> Entry.

Every fact becomes one numbered line that carries the digest of the line before it and is never
changed; totals are integers that follow from the lines alone. Pure: the stores in
``station/stores`` bring the disk.
"""

from __future__ import annotations

from weighstation.journal import codec
from weighstation.journal.bench_lines import (
    DoughWeighed,
    PanShifted,
    dough_weighed,
    pan_shifted,
    read_dough_weighed,
    read_pan_shifted,
)
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
from weighstation.journal.imports import file_of_scale, happened_utc_ms, imported, scale_of_file
from weighstation.journal.kinds import Kind
from weighstation.journal.lifts import Lifts, StruckOut, lifts_of
from weighstation.journal.loaves import (
    BakedLoaf,
    CountedLoaf,
    LoafKey,
    Loaves,
    baked,
    baked_struck_out,
    gap_of_loaves,
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
from weighstation.journal.reactions import (
    Reaction,
    asks_for_reaction,
    reacted,
    read_reaction,
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
    "DoughWeighed",
    "Entry",
    "Head",
    "HeldAgainst",
    "Kind",
    "LastCheck",
    "Lifts",
    "Line",
    "LoafKey",
    "Loaves",
    "PanShifted",
    "PieceFacts",
    "Reaction",
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
    "asks_for_reaction",
    "baked",
    "baked_struck_out",
    "board_closed",
    "board_moved",
    "board_opened",
    "body_text",
    "checked_names",
    "codec",
    "digest",
    "dough_weighed",
    "dump_run",
    "facts",
    "file_of_scale",
    "first_set_back",
    "follow",
    "gap_of_loaves",
    "happened_utc_ms",
    "imported",
    "is_good_check",
    "lifts_of",
    "pan_shifted",
    "reacted",
    "read_baked",
    "read_body",
    "read_dough_weighed",
    "read_pan_shifted",
    "read_reaction",
    "read_scale_checked",
    "read_settled",
    "read_stage",
    "run_of",
    "scale_checked",
    "scale_name",
    "scale_of_file",
    "settled",
    "settling_fault",
    "tally_of",
    "together",
    "verify",
]
