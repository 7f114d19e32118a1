"""Pages, and maps on them of a hole with a strike's drives, drawn from a plan file."""

from collections.abc import Sequence
from math import cos, radians, sin
from typing import Any, Final

import numpy as np
import shapely
from matplotlib.patches import Polygon as Patch
from shapely.geometry import MultiPolygon, Polygon

from holesim.handouts.plan_words import picture_text
from holesim.pictures.backdrop import MapAxes, draw_tee_and_pin, paint_ground
from holesim.pictures.hole_picture import strike_style
from holesim.pictures.typesetting import INK, SMALL, Canvas, Page
from holesim.plan.hole_wind import speed_text
from holesim.plan.plan_tables import PlanFile, StrikeFile, TeeFile
from holesim.units import YARD

_FLAG: Final = 17.0  # pt, its height
_HEADINGS: Final = (
    "north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west",
)  # fmt: skip
DASHES: Final = {0.5: "-", 0.9: (0, (3, 1.6))}


def draw_strike_map(
    page: Page,
    place: tuple[float, float, float, float],
    plan: PlanFile,
    tee: TeeFile,
    strike: StrikeFile,
    shown: Sequence[StrikeFile],
    *,
    metric: bool,
) -> MapAxes:
    """Draw a hole true to scale, with a strike's aim and where its drives finish.

    Parameters
    ----------
    place
        Distance of the map from the left and from the top of the page, its width and its height [pt].
    shown
        The strikes whose drives are to be in view, so that several maps of a hole have one scale.
    """
    hole, middle = plan.hole(tee.hole), np.array(tee.middle)
    axes = page.add_picture(place, picture_text(tee, strike, metric=metric))
    map_axes = MapAxes(axes, (tee.middle[0], tee.middle[1]), (hole.pin[0], hole.pin[1]))
    green = to_shape(hole.ground.get("green", []))
    near = shapely.intersection(green, shapely.Point(hole.pin).buffer(30))
    drives = [to_shape(outline.polygons) for one in shown for outline in one.outlines]
    line = np.array(hole.line)
    ahead = line[np.hypot(*(line - hole.pin).T) <= np.hypot(*(middle - hole.pin)) + 1]
    corners = [shapely.get_coordinates(shape) for shape in (near, *drives)]
    points = map_axes.to_axes(np.vstack([middle[None], np.array([hole.pin]), ahead, *corners]))
    map_axes.fit(np.vstack([points, [[0.0, map_axes.length * (1 + _FLAG / place[3])]]]))
    ground = {hole.kind(name): to_shape(rings) for name, rings in hole.ground.items()}
    paint_ground(map_axes, hole.kind(hole.bare), ground)
    colour, marker = strike_style(strike)
    for outline in strike.outlines:
        for part in shapely.get_parts(to_shape(outline.polygons)):
            ring, half = map_axes.to_axes(shapely.get_coordinates(part.exterior)), outline.share <= 0.5
            map_axes.ax.plot(*ring.T, c=colour, lw=1.2 if half else 0.9, ls=DASHES.get(outline.share, "-"))
    heading, reach = radians(strike.heading_deg), strike.total_yd * YARD
    end = map_axes.to_axes(middle + reach * np.array([[sin(heading), cos(heading)]]))[0]
    map_axes.ax.plot([0, end[0]], [0, end[1]], c=colour, lw=1.0)
    map_axes.ax.plot(*end, marker=marker, ms=6, c=colour, mec="white", mew=0.7)
    draw_tee_and_pin(map_axes, _FLAG)
    return map_axes


def draw_finishes(map_axes: MapAxes, strike: StrikeFile) -> None:
    """Draw a dot where each drive finishes."""
    colour, marker = strike_style(strike)
    x, y = map_axes.to_axes(np.array(strike.finishes)).T
    map_axes.ax.scatter(x, y, s=3.5, c=colour, marker=marker, alpha=0.4, linewidths=0, zorder=1.5)


def to_shape(polygons: Sequence[Sequence[Sequence[Sequence[float]]]]) -> MultiPolygon:
    """Return polygons, each a list of rings of which the first is the outer one, as a shape."""
    return MultiPolygon([Polygon(outer, inner) for outer, *inner in polygons])


def draw_compass(
    canvas: Canvas, x: float, y: float, plan: PlanFile, tee: TeeFile, map_axes: MapAxes, *, metric: bool
) -> None:
    """Draw arrows of 18 pt to the north of a map, and where the wind blows to, in a row about y."""
    wind = plan.wind_on(tee)
    heading = _HEADINGS[round(map_axes.bearing / (np.pi / 4)) % 8]
    blows = "" if wind is None else f"; wind {wind.text(metric=metric)}"
    with canvas.within("Figure", f"The hole runs {heading}{blows}."):
        _draw_arrow(canvas, x + 10, y, -map_axes.bearing, filled=False)
        canvas.write(x + 22, y - 5, "N", size=SMALL, bold=True)
        if wind is not None:
            _draw_arrow(canvas, x + 46, y, wind.bearing - map_axes.bearing + np.pi, filled=True)
            canvas.write(x + 58, y - 5, speed_text(wind.speed, metric=metric), size=SMALL)


def _draw_arrow(canvas: Canvas, x: float, y: float, angle: float, *, filled: bool) -> None:
    """Draw an arrow of 18 pt centred on (x, y), turned clockwise from up the page by an angle [rad]."""
    shape = np.array([(0, -9), (4, 3), (1.2, 2), (1.2, 9), (-1.2, 9), (-1.2, 2), (-4, 3)])
    turn = np.array([[cos(angle), sin(angle)], [-sin(angle), cos(angle)]])
    how: dict[str, Any] = {"fc": INK if filled else "white", "ec": INK, "lw": 0.7}
    canvas.add(Patch(shape @ turn + (x, y), transform=canvas.transform, clip_on=False, **how))
