"""Outlook: what the strokes after a drive meet on this hole that a table by lie and distance does not see."""

from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon

from holesim.course.course import Course, Ground
from holesim.course.holes import Hole, Tee
from holesim.plan.decision import FinishedDrives, StrikePlan
from holesim.scoring.expected_strokes import ExpectedStrokes, NextShot
from holesim.shot.relief import Finish, Lie
from holesim.units import YARD

Floats = NDArray[np.float64]

_LIES: Final = {
    Finish.FAIRWAY: Lie.FAIRWAY,
    Finish.ROUGH: Lie.ROUGH,
    Finish.HEAVY_ROUGH: Lie.HEAVY,
    Finish.SAND: Lie.SAND,
    Finish.TREES: Lie.RECOVERY,
}
_IN_THE_WAY: Final = {
    "trees stand before the green": (Ground.TREES,),
    "a penalty area lies before the green": (Ground.RED, Ground.YELLOW),
}
_MOST_OF_IT: Final = 0.6  # of what is not seen, that it be put down to one side
_OFTEN: Final = 0.4  # of the drives there, that something be named


@dataclass(frozen=True)
class HoleComparison:
    """A hole as played on from a tee: what remains, what the table says, and the longest shot [m]."""

    course: Course
    hole: Hole
    tee: Tee
    expected: ExpectedStrokes
    table: ExpectedStrokes
    longest: float


def next_shot(drives: FinishedDrives, expected: ExpectedStrokes) -> NextShot | None:
    """Return the best shot from where drives typically end: the middle of those with the likeliest lie."""
    finish = max(Finish, key=lambda f: int((drives.finish == f).sum()))
    if finish not in _LIES:
        return None
    ends = np.stack([drives.x, drives.y], axis=1)[drives.finish == finish]
    middle = ends[np.hypot(*(ends - np.median(ends, axis=0)).T).argmin()]
    return expected.next_shot(_LIES[finish], *middle.tolist())


def unseen(ours: StrikePlan, theirs: StrikePlan, view: HoleComparison) -> str:
    """Return a sentence on why the table would have `theirs` instead of `ours`."""
    head = f"a table by lie and distance would have {theirs.label}"
    (x, y, more), (_, _, our_more) = (_excess(strike, view) for strike in (theirs, ours))
    worse, ours_worse = more.mean(), our_more.mean()
    if -ours_worse > worse:
        easier = f"the rest plays {-ours_worse:.2f} easier than it knows"
        return f"{head}, but from where {ours.label} finishes {easier}"
    away = float(np.hypot(x - view.hole.pin[0], y - view.hole.pin[1]).mean())
    side, some = _side(x, y, more, view)
    cause = _cause(x[some], y[some], view)
    left, held = f"it leaves {away / YARD:.0f} yd", f"after {ours.label} {ours_worse:+.2f}"
    return f"{head}: {left}, but {side}{cause} ({worse:+.2f}; {held})"


def _excess(strike: StrikePlan, view: HoleComparison) -> tuple[Floats, Floats, Floats]:
    """Return where drives rest that are played on from there, and what remains beyond what the table says."""
    drives = strike.drives
    found = []
    for finish, lie in _LIES.items():
        some = drives.finish == finish
        x, y = drives.x[some], drives.y[some]
        found.append(np.stack([x, y, view.expected.at(lie, x, y) - view.table.at(lie, x, y)]))
    x, y, more = np.concatenate(found, axis=1)
    return x, y, more


def _side(x: Floats, y: Floats, more: Floats, view: HoleComparison) -> tuple[str, NDArray[np.bool_]]:
    """Return from which side of the drives most of the excess comes, in words, and which drives those are."""
    bearing = view.tee.bearing(float(x.mean()), float(y.mean()))
    aside = (x - view.tee.x) * np.cos(bearing) - (y - view.tee.y) * np.sin(bearing)
    third = np.quantile(aside, (1 / 3, 2 / 3))
    thirds = {"from the left ": aside < third[0], "from the right ": aside > third[1]}
    for words, some in thirds.items():
        if more[some].sum() > _MOST_OF_IT * more.sum():
            return words, some
    return "", np.ones(len(x), dtype=np.bool_)


def _cause(x: Floats, y: Floats, view: HoleComparison) -> str:
    """Return what stands between such places and the green, in words."""
    away = np.hypot(x - view.hole.pin[0], y - view.hole.pin[1])
    if (away > view.longest).mean() > _OFTEN:
        return "the green is out of reach"
    places = np.stack([x, y], axis=1)
    ways = shapely.linestrings(np.stack([places, np.broadcast_to(view.hole.pin, places.shape)], axis=1))
    shares = {
        words: float(shapely.intersects(ways, shapely.union_all(_outlines(view.course, grounds))).mean())
        for words, grounds in _IN_THE_WAY.items()
    }
    words = max(shares, key=lambda words: shares[words])
    if shares[words] > _OFTEN:
        return words
    return "the next shot is harder than it knows"


def _outlines(course: Course, grounds: tuple[Ground, ...]) -> list[Polygon]:
    return [area.outline for area in course.areas if area.ground in grounds]
