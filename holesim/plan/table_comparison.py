"""What a table by lie and distance does not see of the strokes after a drive on a hole."""

from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon

from holesim.course.course import Course, Ground
from holesim.course.holes import Hole, Tee
from holesim.plan.tee_plan import StrikePlan, TableComparison
from holesim.scoring.expected_strokes import ExpectedStrokes
from holesim.shot.relief import Finish, Lie

Floats = NDArray[np.float64]

_LIES: Final = {
    Finish.FAIRWAY: Lie.FAIRWAY,
    Finish.ROUGH: Lie.ROUGH,
    Finish.HEAVY_ROUGH: Lie.HEAVY,
    Finish.SAND: Lie.SAND,
    Finish.TREES: Lie.RECOVERY,
}
_IN_THE_WAY: Final = {
    "trees": (Ground.TREES,),
    "water": (Ground.RED, Ground.YELLOW),
}
_MOST_OF_IT: Final = 0.6  # of the excess; more than this from one side is put down to that side
_OFTEN: Final = 0.4  # of the drives there; a cause of more than this is named


@dataclass(frozen=True)
class HoleComparison:
    """A hole from a tee: its expected strokes, those of the table, and the golfer's longest shot [m]."""

    course: Course
    hole: Hole
    tee: Tee
    expected: ExpectedStrokes
    table: ExpectedStrokes
    longest: float


def compare_with_table(ours: StrikePlan, theirs: StrikePlan, view: HoleComparison) -> TableComparison:
    """Return why a table would choose `theirs` instead of `ours`."""
    (x, y, more), (_, _, our_more) = (_excess(strike, view) for strike in (theirs, ours))
    side, some = _side(x, y, more, view)
    return TableComparison(
        choice=ours.label,
        other=theirs.label,
        more_after_choice=float(our_more.mean()),
        more_after_other=float(more.mean()),
        away=float(np.hypot(x - view.hole.pin[0], y - view.hole.pin[1]).mean()),
        side=side,
        cause=_cause(x[some], y[some], view),
    )


def _excess(strike: StrikePlan, view: HoleComparison) -> tuple[Floats, Floats, Floats]:
    """Return where drives finish in play, and their expected strokes there less those of the table."""
    drives = strike.drives
    by_lie = []
    for finish, lie in _LIES.items():
        some = drives.finish == finish
        x, y = drives.x[some], drives.y[some]
        by_lie.append(np.stack([x, y, view.expected.at(lie, x, y) - view.table.at(lie, x, y)]))
    x, y, more = np.concatenate(by_lie, axis=1)
    return x, y, more


def _side(x: Floats, y: Floats, more: Floats, view: HoleComparison) -> tuple[str, NDArray[np.bool_]]:
    """Return the side of the drives that most of the excess comes from, and which drives those are."""
    bearing = view.tee.bearing(float(x.mean()), float(y.mean()))
    aside = (x - view.tee.x) * np.cos(bearing) - (y - view.tee.y) * np.sin(bearing)
    third = np.quantile(aside, (1 / 3, 2 / 3))
    thirds = {"left": aside < third[0], "right": aside > third[1]}
    for words, some in thirds.items():
        if more[some].sum() > _MOST_OF_IT * more.sum():
            return words, some
    return "", np.ones(len(x), dtype=np.bool_)


def _cause(x: Floats, y: Floats, view: HoleComparison) -> str:
    """Return what stands between these places and the green: a `cause` of a `TableComparison`."""
    away = np.hypot(x - view.hole.pin[0], y - view.hole.pin[1])
    if (away > view.longest).mean() > _OFTEN:
        return "reach"
    places = np.stack([x, y], axis=1)
    ways = shapely.linestrings(np.stack([places, np.broadcast_to(view.hole.pin, places.shape)], axis=1))
    shares = {
        words: float(shapely.intersects(ways, shapely.union_all(_outlines(view.course, grounds))).mean())
        for words, grounds in _IN_THE_WAY.items()
    }
    words = max(shares, key=lambda words: shares[words])
    if shares[words] > _OFTEN:
        return words
    return ""


def _outlines(course: Course, grounds: tuple[Ground, ...]) -> list[Polygon]:
    return [area.outline for area in course.areas if area.ground in grounds]
