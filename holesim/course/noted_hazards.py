"""Drawing a hazard at its numbers: its ends are straight, and square to the way from the back tee to them."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString
from shapely.geometry.base import BaseGeometry

from holesim.course.course import Ground
from holesim.course.line_distances import near_and_far
from holesim.course.note_shapes import HOLE_MARGIN, Line
from holesim.course.yardage_notes import BEYOND, RIGHTWARD, YARDS, Side, Unit
from holesim.errors import InputError
from holesim.units import YARD

Floats = NDArray[np.float64]
Edge = Callable[[Floats], Floats]
"""How far from the line an edge lies [m] at places along it [m]."""

_SEAM: Final = 2.0  # m, half of the widest gap that is closed
_SLIVER: Final = 0.5  # m; what is narrower is not drawn
_WITHIN: Final = 0.5 * YARD  # to which a hazard measures what was noted


@dataclass(frozen=True)
class NotedHazard:
    """A hazard by its numbers [m].

    Attributes
    ----------
    ground
        What it is; a stream is the ground that its water is.
    side
        As seen playing the hole; `across` it extends equally to both sides of the line of play.
    start, stop
        Straight from the back tee to the middle of the hole.
    wide
        How wide, square to the line of play.
    off
        From the line of play to its near side; of no use across.
    """

    ground: Ground
    side: Side
    start: float
    stop: float
    wide: float
    off: float = 0.0


def draw_noted(line: LineString, noted: NotedHazard) -> BaseGeometry:
    """Draw a hazard by its numbers on a hole as it is drawn.

    Parameters
    ----------
    line
        Of the hole, from the back tee to the pin [m]; its corners may be sharp.

    Returns
    -------
    Its area. Its near and far ends are straight across its whole width, and square to the way from the back
    tee to the middle of the hole there, so that `near_and_far` gives `start` and `stop` back.

    Raises
    ------
    InputError
        If it begins after it ends or past the end of the hole, has no width, or if the hole bends so sharply
        that it does not measure there what was noted.

    Examples
    --------
    >>> line = LineString([(0, 0), (0, 230), (90, 380)])
    >>> creek = draw_noted(line, NotedHazard(Ground.RED, "across", start=262, stop=268, wide=110))
    >>> [round(distance, 1) for distance in near_and_far(line, (0, 0), creek)]
    [262.0, 268.0]
    >>> bunker = draw_noted(line, NotedHazard(Ground.BUNKER, "left", start=190, stop=205, off=18, wide=9))
    >>> [round(edge) for edge in bunker.bounds]
    [-27, 190, -18, 205]
    """
    path, shown = Line.along(line), YARDS.shown
    if not 0 <= noted.start < noted.stop:
        problem = f"runs from {shown(noted.start)} to {shown(noted.stop)}"
        raise InputError("", "the hazard", problem, "give the distance nearer the back tee first")
    if not (noted.wide > 0 and noted.off >= 0):
        problem = f"is {shown(noted.wide)} wide and {shown(noted.off)} off the line of play"
        raise InputError("", "the hazard", problem, "give a width, and a distance that is not negative")
    end = path.farthest(line.length + BEYOND)
    if noted.stop > end:
        problem = f"ends at {shown(noted.stop)}, past the end of the hole at {shown(end)}"
        raise InputError("", "the hazard", problem, "give distances straight from the back tee")
    start, stop = path.station(noted.start), path.station(noted.stop)
    if noted.side == "across":
        drawn = square_band(path, "across", start, stop, _always(-noted.wide / 2), _always(noted.wide / 2))
    else:
        near, far = _always(noted.off), _always(noted.off + noted.wide)
        drawn = square_band(path, noted.side, start, stop, near, far)
    if drawn.is_empty:
        problem = f"has no room {shown(noted.off)} off the line, where the hole bends round"
        raise InputError("", "the hazard", problem, "reduce its distance off the line of play")
    check_measures(line, drawn, noted.start, noted.stop, YARDS)
    return drawn


def check_measures(line: LineString, drawn: BaseGeometry, start: float, stop: float, unit: Unit) -> None:
    """Check that a hazard begins and ends where it was noted [m straight from the back tee].

    Raises
    ------
    InputError
        If it does not, as where a hole bends so sharply that it hardly gets farther from the tee.
    """
    x, y = line.coords[0][:2]
    near, far = near_and_far(line, (x, y), drawn)
    if max(abs(near - start), abs(far - stop)) > _WITHIN:
        shown = unit.shown
        problem = f"would measure {shown(near)} to {shown(far)}, not {shown(start)} to {shown(stop)}"
        remedy = "the hole bends too sharply there: make it narrower or shorter, or draw its outline"
        raise InputError("", "the hazard", problem, remedy)


def square_band(line: Line, side: Side, start: float, stop: float, near: Edge, far: Edge) -> BaseGeometry:
    """Return the area between two edges to one side of a line, with straight and square ends.

    Parameters
    ----------
    start, stop
        Places along the line [m]; the ends are square to the way from the back tee to them.
    near, far
        Distances to that side; across the hole those to the right, negative to the left.
    """
    along = _places_about(line, start, stop, far)
    room, inner, outer = line.room(side, along), near(along), far(along)
    outer = np.minimum(outer, room)
    inner = np.maximum(inner, -room) if side == "across" else inner
    rightwards = 1.0 if side == "across" else RIGHTWARD[side]
    rungs = np.stack([line.at(along, rightwards * out) for out in (inner, outer)], axis=1)
    corners = np.concatenate([rungs[:-1], rungs[1:]], axis=1)
    drawn = outer - inner > _SLIVER
    pieces = shapely.convex_hull(shapely.multipoints(corners[drawn[:-1] & drawn[1:]]))
    whole = shapely.union_all(pieces)
    # Without gaps inside a bend.
    whole = whole.buffer(_SEAM, join_style="mitre").buffer(-_SEAM, join_style="mitre")
    return whole.intersection(line.ahead_of(start)).difference(line.ahead_of(stop))


def _places_about(line: Line, start: float, stop: float, far: Edge) -> Floats:
    """Return places along a line past which no part of a band lies, though a bend slants its ends."""
    widest = min(float(far(np.array([start, stop])).max()), HOLE_MARGIN)
    slack = 1.5 * widest + 2 * _SEAM
    return line.places(
        max(start - slack, float(line.stations[0])), min(stop + slack, float(line.stations[-1]))
    )


def share_of_way(line: Line, start: float, stop: float, across: float) -> Edge:
    """Return a function of places along a line: how far from the one square end of a band to the other.

    It is 0 at the end at `start` and 1 at that at `stop`, so far `across` the line to its right [m].
    """
    first, last = start + float(line.lean(start, across)), stop + float(line.lean(stop, across))

    def share(along: Floats) -> Floats:
        return np.clip((along - first) / max(last - first, 1e-9), 0.0, 1.0)

    return share


def _always(distance: float) -> Edge:
    return lambda along: np.full(len(along), distance)
