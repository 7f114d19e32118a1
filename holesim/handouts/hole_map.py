"""Hole maps on paper: a hole and where a strike's drives finish on it, drawn from a plan file."""

from collections.abc import Sequence
from math import cos, radians, sin
from typing import Any, Final

import numpy as np
import shapely
from matplotlib.figure import Figure
from matplotlib.patches import Polygon as Patch
from matplotlib.transforms import Affine2D
from shapely.geometry import MultiPolygon, Polygon

from holesim.pictures.backdrop import View, draw_tee_and_pin, paint
from holesim.pictures.hole_picture import styles
from holesim.pictures.typesetting import INK, SMALL, Sheet
from holesim.plan.hole_wind import told
from holesim.plan.plan_file import PlanFile, StrikeFile, TeeFile
from holesim.units import YARD

PAGE: Final = (595.0, 842.0)  # pt, A4
_FLAG: Final = 17.0  # pt, tall
_DASHES: Final = {0.5: "-", 0.9: (0, (3, 1.6))}


def blank_page() -> Figure:
    """Return a page of A4."""
    return Figure(figsize=(PAGE[0] / 72, PAGE[1] / 72))


def sheet_at(figure: Figure, x: float, y: float) -> Sheet:
    """Return a place to write with its corner so far right of and below that of the page [pt]."""
    flip = Affine2D().scale(1 / 72, -1 / 72).translate(x / 72, (PAGE[1] - y) / 72)
    return Sheet(figure.add_artist, flip + figure.dpi_scale_trans)


def draw_strike_map(
    figure: Figure,
    place: tuple[float, float, float, float],
    plan: PlanFile,
    tee: TeeFile,
    strike: StrikeFile,
    shown: Sequence[StrikeFile],
) -> View:
    """Draw a hole true to scale, with a strike's aim and where its drives finish.

    Parameters
    ----------
    place
        How far the map is from the left and from the top of the page, its width and its height [pt].
    shown
        The strikes whose drives shall be in view, so that several maps of a hole are of one scale.
    """
    x, y, wide, tall = place
    box = x / PAGE[0], (PAGE[1] - y - tall) / PAGE[1], wide / PAGE[0], tall / PAGE[1]
    hole, middle = plan.hole(tee.hole), np.array(tee.middle)
    view = View(figure.add_axes(box), (tee.middle[0], tee.middle[1]), (hole.pin[0], hole.pin[1]))
    green = shape_of(hole.ground.get("green", []))
    near = shapely.intersection(green, shapely.Point(hole.pin).buffer(30))
    drives = [shape_of(outline.polygons) for one in shown for outline in one.outlines]
    line = np.array(hole.line)
    ahead = line[np.hypot(*(line - hole.pin).T) <= np.hypot(*(middle - hole.pin)) + 1]
    corners = [shapely.get_coordinates(shape) for shape in (near, *drives)]
    points = view.turn(np.vstack([middle[None], np.array([hole.pin]), ahead, *corners]))
    view.frame(np.vstack([points, [[0.0, view.length * (1 + _FLAG / tall)]]]))
    ground = {hole.kind(name): shape_of(rings) for name, rings in hole.ground.items()}
    paint(view, hole.kind(hole.bare), ground)
    colour, marker = styles([strike])[0]
    for outline in strike.outlines:
        for part in shapely.get_parts(shape_of(outline.polygons)):
            ring, half = view.turn(shapely.get_coordinates(part.exterior)), outline.share <= 0.5
            view.ax.plot(*ring.T, c=colour, lw=1.2 if half else 0.9, ls=_DASHES.get(outline.share, "-"))
    heading, reach = radians(strike.heading_deg), strike.total_yd * YARD
    end = view.turn(middle + reach * np.array([[sin(heading), cos(heading)]]))[0]
    view.ax.plot([0, end[0]], [0, end[1]], c=colour, lw=1.0)
    view.ax.plot(*end, marker=marker, ms=6, c=colour, mec="white", mew=0.7)
    draw_tee_and_pin(view, _FLAG)
    return view


def draw_finishes(view: View, strike: StrikeFile) -> None:
    """Draw where drives finish, a dot each."""
    colour, marker = styles([strike])[0]
    x, y = view.turn(np.array(strike.finishes)).T
    view.ax.scatter(x, y, s=3.5, c=colour, marker=marker, alpha=0.4, linewidths=0, zorder=1.5)


def shape_of(polygons: Sequence[Sequence[Sequence[Sequence[float]]]]) -> MultiPolygon:
    """Return the shape of rings, of each polygon the outer one first."""
    return MultiPolygon([Polygon(outer, inner) for outer, *inner in polygons])


def draw_compass(
    sheet: Sheet, x: float, y: float, plan: PlanFile, tee: TeeFile, view: View, *, metric: bool
) -> None:
    """Point north on a map, and where the wind blows: arrows of 18 pt in a row about y."""
    _draw_arrow(sheet, x + 10, y, -view.bearing, filled=False)
    sheet.write(x + 22, y - 5, "N", size=SMALL, bold=True)
    wind = plan.wind_on(tee)
    if wind is not None:
        _draw_arrow(sheet, x + 46, y, wind.bearing - view.bearing + np.pi, filled=True)
        sheet.write(x + 58, y - 5, told(wind.speed, metric=metric), size=SMALL)


def _draw_arrow(sheet: Sheet, x: float, y: float, angle: float, *, filled: bool) -> None:
    """Draw an arrow of 18 pt about a place, turned right of up the page by an angle [rad]."""
    shape = np.array([(0, -9), (4, 3), (1.2, 2), (1.2, 9), (-1.2, 9), (-1.2, 2), (-4, 3)])
    turn = np.array([[cos(angle), sin(angle)], [-sin(angle), cos(angle)]])
    how: dict[str, Any] = {"fc": INK if filled else "white", "ec": INK, "lw": 0.7}
    sheet.add(Patch(shape @ turn + (x, y), transform=sheet.transform, clip_on=False, **how))
