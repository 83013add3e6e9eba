"""Raw pieces in a CSV file -> what they gave away, by pandas alone, in whole milligrams.

It shares no code with the package, on purpose: the sums are written down a second time.
Run: python tests/end_to_end/plain_statement.py FILE.csv FIRST_DAY LAST_DAY
"""

import json
import sys

import pandas as pd

PARTS = {"keep": "mean_off_aim", "add": "light_out_of_band"}


def figures(pieces: pd.DataFrame) -> dict[str, object]:
    """Return the totals of some pieces, weights in milligrams, money unrounded."""
    d_mg = pieces["final_mg"] - pieces["target_mg"]
    part = pieces["verdict"].map(PARTS).fillna("heavy_out_of_band")
    parts = d_mg.groupby(part).sum()
    names = (*PARTS.values(), "heavy_out_of_band")
    return {
        "pieces": len(pieces),
        "mean_mg": pieces["final_mg"].mean(),
        "sd_mg": d_mg.std(),
        "light": int((part == "light_out_of_band").sum()),
        "heavy": int((part == "heavy_out_of_band").sum()),
        "dough_mg": int(pieces["final_mg"].sum()),
        "over_sum_mg": int(d_mg.clip(lower=0).sum()),
        "giveaway_mg": int(d_mg.sum()),
        "giveaway_pct": 100 * d_mg.sum() / pieces["target_mg"].sum(),
        "money": (d_mg * pieces["cost_per_kg"]).sum() / 1e6,
        "over_money": (d_mg.clip(lower=0) * pieces["cost_per_kg"]).sum() / 1e6,
        "parts_mg": {name: int(parts.get(name, 0)) for name in names},
    }


def statement(path: str, first: str, last: str) -> dict[str, object]:
    """Return the totals of some days, and of each of their groups."""
    pieces = pd.read_csv(path, parse_dates=["began"])
    pieces = pieces[pieces["struck_out"] == 0]
    day = pieces["began"].dt.strftime("%Y-%m-%d")
    pieces = pieces[(day >= first) & (day <= last)]
    hour = pieces["dough_age_ms"] // 3_600_000
    began = pieces["began"].dt
    by = {
        "product": pieces["product"],
        "dough_age": hour.astype(str) + " to " + (hour + 1).astype(str) + " h",
        "weekday": began.day_name(),
        "week": began.strftime("%G-W%V"),
    }
    groups = {
        name: {key: figures(some) for key, some in pieces.groupby(keys)}
        for name, keys in by.items()
    }
    return {"runs": int(pieces["run"].nunique()), "all": figures(pieces), "by": groups}


if __name__ == "__main__":
    print(json.dumps(statement(*sys.argv[1:])))
