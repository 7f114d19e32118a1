"""Plans of tees made of losses alone, for the tests of what is decided and said by them."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from holesim.plan import sights
from holesim.plan.decision import decide
from holesim.plan.goal import MEAN
from holesim.plan.tee_plan import FinishedDrives, StrikePlan, TeePlan
from holesim.player.player import POSTERIOR_DRAWS, StrikeName
from tests.conftest import straight_course

Floats = NDArray[np.float64]

NOWHERE = np.empty(0)
NONE = FinishedDrives(NOWHERE, NOWHERE, NOWHERE, NOWHERE, np.empty(0, np.int64), NOWHERE)


def golfers(mean: float, apart: float = 0.0, seed: int = 1) -> Floats:
    """Return the loss of each golfer by each replicate; `apart` is its standard deviation among golfers."""
    off = np.random.default_rng(seed).standard_normal(POSTERIOR_DRAWS)
    off = (off - off.mean()) / off.std(ddof=1)
    return np.repeat((mean + apart * off)[:, None], 2, axis=1)


def strike(label: str, loss: Floats, *, total: float = 220.0, beyond: bool = False) -> StrikePlan:
    up_or_down = label in ("up", "level", "down")
    return StrikePlan(
        club="driver" if up_or_down else label,
        strike=label if up_or_down else "down",
        aim=0.0,
        mark=sights.Mark(sights.Sight("the flag", 0.0, 300.0), 0.0),
        alignment=0.0,
        strokes=float(loss.mean()),
        strokes_se=0.0,
        shares=dict.fromkeys(
            ("fairway", "green", "rough", "heavy_rough", "sand", "trees", "penalty", "out"), 0.125
        ),
        scores=np.array([0.0, 0.0, 0.0, 1.0]),
        carry=200.0,
        total=total,
        carry_sd=10.0,
        side_sd=15.0,
        strokes_by_draw=loss,
        loss=loss,
        beyond=beyond,
        drives=NONE,
    )


def tee_plan(number: int, par: int, usual: StrikeName | None = None, **losses: Floats) -> TeePlan:
    hole = replace(straight_course().holes[0], number=number, par=par)
    strikes = [strike(label, loss) for label, loss in losses.items()]
    strikes.sort(key=lambda s: float(s.loss.mean()))
    return decide(hole, hole.tees[0], tuple(strikes), 4096, usual, MEAN)
