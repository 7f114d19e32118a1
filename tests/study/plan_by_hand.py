"""A plan of three holes with round numbers, as a plan file has them, for what is worked by hand."""

from collections.abc import Mapping, Sequence
from types import SimpleNamespace
from typing import Any, cast

from scipy.special import ndtri

from holesim.plan.plan_tables import OverFile, PlanFile, StrikeFile, TeeFile
from holesim.study.round_file import FINISHES

PROBABILITIES = [0.025, 0.5, 0.975]
MANY = 10**9
"""Drives of the plan, so many that a finish which none of them had has no chance."""


def normal(mean: float, sd: float) -> list[float]:
    return [mean + sd * float(ndtri(p)) for p in PROBABILITIES]


def strike(
    label: str,
    strokes: float,
    *,
    se: float = 0.0,
    over: tuple[float, float, float] | None = None,
    scores: Sequence[float] = (0, 0, 0, 1),
    heading: float = 0.0,
    finishes: Sequence[tuple[float, float]] = ((0, 0),),
    total: list[float] | None = None,
    side: list[float] | None = None,
    **shares: float,
) -> StrikeFile:
    """Return a strike with what is told of it; `over` is its loss over the choice's, and between what."""
    driver = label in ("up", "level", "down")
    told: dict[str, Any] = {
        "club": "driver" if driver else label,
        "strike": label if driver else "down",
        "strokes": strokes,
        "strokes_se": se,
        "over_choice": None if over is None else OverFile(loss=over[0], low=over[1], high=over[2]),
        "scores": list(scores),
        "heading_deg": heading,
        "finishes": [list(place) for place in finishes],
        "total_quantiles_yd": total,
        "side_quantiles_yd": side,
    }
    return StrikeFile.model_construct(**dict.fromkeys(FINISHES, 0.0) | told | shares)


def tee(
    hole: int, par: int, *strikes: StrikeFile, choice: int = 0, rival: int | None = None, name: str = "back",
    middle: tuple[float, float] = (0.0, 0.0),
) -> TeeFile:  # fmt: skip
    """Return a tee; `choice` and `rival` are places among its strikes."""
    told: dict[str, Any] = {
        "hole": hole,
        "par": par,
        "tee": name,
        "middle": list(middle),
        "strikes": list(strikes),
        "choice": strikes[choice],
        "rival": None if rival is None else strikes[rival],
    }
    return TeeFile.model_construct(**told)


FIRST = tee(
    1,
    4,
    strike(
        "up", 4.2, se=0.03, scores=(0, 0, 0.2, 0.5, 0.3), finishes=((0, 200), (0, 220)),
        total=normal(210 / 0.9144, 20), side=normal(0, 10), fairway=0.5, rough=0.5,
    ),
    strike("down", 4.5, se=0.04, over=(0.3, 0.1, 0.5)),
    rival=1,
)  # fmt: skip
SECOND = tee(
    2,
    4,
    strike("down", 4.4, se=0.03, fairway=1.0),
    strike(
        "up", 4.5, se=0.04, over=(0.1, -0.1, 0.3), scores=(0, 0, 0, 0.5, 0.5), heading=90.0,
        finishes=((1200, 0), (1150, 0)), side=normal(50 / 0.9144 - 20, 20), fairway=0.6, penalty=0.2, out=0.2,
    ),
    rival=1,
    middle=(1000.0, 0.0),
)  # fmt: skip
THIRD = tee(
    3, 3,
    strike("7-iron", 3.1, scores=(0, 0.25, 0.5, 0.25), finishes=((0, 145), (0, 165)), green=0.5, sand=0.5),
)  # fmt: skip


PINS = {1: (0.0, 300.0), 2: (1300.0, 0.0), 3: (0.0, 150.0)}


def plan_of(
    *tees: TeeFile,
    goal: str = "mean",
    draws: int = MANY,
    over_plan: object = None,
    pins: Mapping[int, tuple[float, float]] = PINS,
) -> PlanFile:
    """Return the plan of some tees; by default holes 1 and 3 lead 300 and 150 m north, and 2 300 m east."""
    made = SimpleNamespace(
        course="A Course",
        player="A Golfer",
        golfer=SimpleNamespace(handicap_index=5.0, club_speed_mph=100.0, sex="man"),
        options=SimpleNamespace(goal=goal),
        draws=draws,
        probabilities=PROBABILITIES,
        tees=list(tees),
        over_plan=over_plan or {},
        hole=lambda number: SimpleNamespace(pin=list(pins[number])),
    )
    return cast("PlanFile", made)
