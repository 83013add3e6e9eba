"""A batch as it stands -> the picture that every screen is drawn from."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.station.bench.scenes import scene_of
from weighstation.station.bench.snapshot import LiftedNote, Snapshot

if TYPE_CHECKING:
    from weighstation.station.bench.calming import Calming
    from weighstation.station.bench.clocks import Clocks
    from weighstation.station.bench.hearing import Hearing
    from weighstation.station.bench.loop import Bench
    from weighstation.station.bench.session_plan import SessionPlan
    from weighstation.station.bench.standing import Standing


class Drawing:
    """Draws one batch, again and again; it changes nothing.

    Parameters
    ----------
    plan : SessionPlan
    bench : Bench
    standing : Standing
    hearing : Hearing
    calming : Calming
    """

    def __init__(
        self,
        plan: SessionPlan,
        bench: Bench,
        standing: Standing,
        hearing: Hearing,
        calming: Calming,
    ) -> None:
        self._plan = plan
        self._bench = bench
        self._standing = standing
        self._hearing = hearing
        self._calming = calming

    def draw(
        self,
        *,
        happened: int,
        clocks: Clocks,
        notice: str,
        signal: str,
        offer: str,
        alarm: str,
    ) -> Snapshot:
        """Return the picture of now.

        Parameters
        ----------
        happened : int
            Outcomes so far.
        clocks : Clocks
        notice, signal, offer, alarm : str
            What is said; each may be empty.

        Returns
        -------
        Snapshot
        """
        bench, standing = self._bench, self._standing
        sensing, known = bench.sensing, bench.last_counted
        totals, last, lain_mg = standing.totals, standing.last, bench.lain_mg
        return Snapshot(
            t_s=self._hearing.now_s,
            product=self._plan.product,
            limits=self._plan.bench.limits,
            division_mg=sensing.step_mg,
            scene=scene_of(
                sensing.pan,
                is_lost=bool(self._hearing.lost),
                is_paused=sensing.is_paused,
                is_dough=sensing.pile is not None,
                is_told=self._calming.cue is not None,
                is_laden=lain_mg is not None,
            ),
            lain_mg=lain_mg,
            loaded=bench.is_loaded,
            cue=self._calming.cue,
            slowed=self._calming.slowed,
            counted=standing.counted,
            planned=self._plan.planned,
            last_number=last[0] if last else None,
            last_mg=last[1] if last else None,
            known_number=known.number if known else None,
            known_mg=known.final_mg if known else None,
            happened=happened,
            out_of_band=totals.out_of_band if totals else 0,
            kept_mean_mg=totals.kept_mean_mg if totals else None,
            first_sd_mg=totals.first.sd_mg if totals else None,
            clocks=clocks,
            lifted=_lifted(bench),
            notice=notice,
            signal=signal,
            offer=offer,
            alarm=alarm,
        )


def _lifted(bench: Bench) -> LiftedNote | None:
    """Return the last piece that was lifted out of band, and what it was taken for."""
    decision = bench.last_decision
    if decision is None:
        return None
    is_open = bench.open_lifted is not None
    return LiftedNote(decision.number, decision.error_mg, decision.took_for, is_open)
