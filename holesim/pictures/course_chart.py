"""Charts: a whole course and each of its holes as read, to be held against what one knows of them."""

from collections.abc import Sequence
from pathlib import Path
from typing import Final

import numpy as np
import shapely
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patheffects import withStroke
from numpy.typing import NDArray

from holesim.common.text_format import distance, sentence
from holesim.course.course import Course
from holesim.course.ground_map import GroundMap, map_ground
from holesim.course.holes import Hole
from holesim.errors import Guess
from holesim.pictures.backdrop import (
    GUTTER,
    PICTURE,
    WIDE,
    View,
    draw_distances,
    draw_ground,
    draw_north,
    draw_tee_and_pin,
    hole_axes,
    save_png,
    write_legend,
)
from holesim.pictures.typesetting import INK, QUIET, SMALL, Sheet, own_settings, printed_width, wrap
from holesim.reports.check_text import find_gaps
from holesim.units import YARD

Floats = NDArray[np.float64]

_LEVEL: Final = 0.5  # m, below which a fall is not worth a word
_MOST: Final = 16  # guesses listed in a picture
_ACROSS, _WORDS, _EDGE = 7.0, 2.55, 0.2  # in


def chart_course(course: Course, *, ax: Axes | None = None, metric: bool = False) -> Axes:
    """Draw a whole course, north up, its holes numbered at their tees, and what of it is open beside it.

    Parameters
    ----------
    ax
        Where to draw, in metres; the words stand to its right and take 2.5 in. A new figure by default.
    metric
        Metres instead of yards.
    """
    shapes = [course.boundary, *(shape for hole in course.holes for shape in (hole.line, hole.green))]
    points = shapely.get_coordinates(shapes)
    view = View(ax or _fitting_axes(points), (0.0, 0.0), (0.0, 1.0))
    view.frame(points)
    kinds = draw_ground(view, course)
    for hole in course.holes:
        _draw_line(view, hole.line)
        x, y = hole.line.coords[0]
        view.label([(x, y), (x, y - 12 * view.point), (x + 12 * view.point, y)], str(hole.number), size=9)
    draw_north(view)
    _draw_scale(view, metric=metric)
    sheet = view.margin()
    y = sheet.write(GUTTER, 0, course.name, size=16, bold=True, width=WIDE, most=3)
    par, longest = sum(hole.par for hole in course.holes), sum(hole.tees[0].length for hole in course.holes)
    text = f"{len(course.holes)} holes, par {par}, {distance(longest, metric=metric)}"
    y = sheet.rule(GUTTER, GUTTER + WIDE, sheet.write(GUTTER, y + 1, text, size=9, width=WIDE) + 7)
    for head, guesses in (("Guessed", course.guesses), ("Missing", find_gaps(course))):
        y = _write_guesses(sheet, y + 6, head, guesses)
    write_legend(view, sheet, y + 8, kinds)
    return view.ax


def chart_hole(
    course: Course, hole: Hole, ground: GroundMap, *, ax: Axes | None = None, metric: bool = False
) -> Axes:
    """Draw a hole from its back tee (at the foot) to its pin, with its line, its tees and how it rises.

    Parameters
    ----------
    ground
        What `map_ground` makes of the course.
    ax, metric
        As for `chart_course`.
    """
    back = hole.tees[0]
    view = View(ax or hole_axes(), (back.x, back.y), hole.pin)
    tees = view.turn(np.array([(tee.x, tee.y) for tee in hole.tees]))
    must = [view.turn(shapely.get_coordinates(shape)) for shape in (hole.line, hole.green)]
    view.frame(np.concatenate([*must, tees]))
    kinds = draw_ground(view, course)
    draw_tee_and_pin(view)
    draw_north(view)
    _draw_line(view, shapely.transform(hole.line, view.turn))
    for tee, (x, y) in zip(hole.tees, tees, strict=True):
        name = wrap(tee.name, 90, 1, size=SMALL)[0]
        beside = (12 + printed_width(name, SMALL) / 2) * view.point
        view.label([(x + beside, y), (x - beside, y)], name)
    draw_distances(view, unit=1.0 if metric else YARD, reach=view.length, short=hole.par == 3)
    sheet = view.margin()
    y = sheet.write(GUTTER, 0, course.name, colour=QUIET, width=WIDE, most=2)
    y = sheet.write(GUTTER, y + 2, f"Hole {hole.number}", size=20, bold=True)
    index = "" if hole.stroke_index is None else f", stroke index {hole.stroke_index}"
    y = sheet.write(GUTTER, y + 1, f"par {hole.par}{index}", size=9)
    y = sheet.rule(GUTTER, GUTTER + WIDE, y + 7) + 6
    for tee in hole.tees:
        sheet.write(GUTTER, y, tee.name, width=WIDE - 50, most=1)
        y = sheet.write(GUTTER + WIDE, y, distance(tee.length, metric=metric), align="right")
    for text in _falls(hole, ground, metric=metric):
        y = sheet.write(GUTTER, y + 5, text, width=WIDE)
    write_legend(view, sheet, y + 8, kinds)
    return view.ax


def save_charts(course: Course, folder: Path, *, metric: bool = False) -> None:
    """Write a PNG of the course, and one of each hole."""
    ground = map_ground(course)
    with own_settings():
        save_png(chart_course(course, metric=metric), folder / "course.png")
        for hole in course.holes:
            save_png(chart_hole(course, hole, ground, metric=metric), folder / f"hole-{hole.number:02d}.png")


def _fitting_axes(points: Floats) -> Axes:
    """Return axes in the shape of a course, with room for the words at their right."""
    wide, tall = np.ptp(points, axis=0)
    height = _ACROSS * float(np.clip(tall / wide, 0.7, 1.5))
    size = _ACROSS + _WORDS + 2 * _EDGE, height + 2 * _EDGE
    figure = Figure(figsize=size, dpi=PICTURE["dpi"])
    return figure.add_axes((_EDGE / size[0], _EDGE / size[1], _ACROSS / size[0], height / size[1]))


def _draw_line(view: View, line: shapely.LineString) -> None:
    halo = [withStroke(linewidth=2.4, foreground="white", alpha=0.6)]
    view.ax.plot(*shapely.get_coordinates(line).T, c=INK, lw=0.9, path_effects=halo, zorder=5)


def _draw_scale(view: View, *, metric: bool) -> None:
    """Draw a bar of a round length in the lower left corner."""
    unit = 1.0 if metric else YARD
    count = next(n for n in (500, 200, 100, 50) if n * unit < (view.right - view.left) / 3 or n == 50)
    x, y = view.left + 12 * view.point, view.bottom + 10 * view.point
    view.ax.plot([x, x + count * unit], [y, y], c=INK, lw=1.4, solid_capstyle="butt", zorder=6)
    view.label([(x + count * unit / 2, y + 3 * view.point)], f"{count} {'m' if metric else 'yd'}")


def _write_guesses(sheet: Sheet, y: float, head: str, guesses: Sequence[Guess]) -> float:
    if not guesses:
        return y
    y = sheet.write(GUTTER, y, head, size=10.5, bold=True)
    for guess in guesses[:_MOST]:
        y = sheet.write(GUTTER, y + 3, str(guess), size=7.5, width=WIDE, most=6)
    more = len(guesses) - _MOST
    return sheet.write(GUTTER, y + 3, f"and {more} more", size=7.5) if more > 0 else y


def _falls(hole: Hole, ground: GroundMap, *, metric: bool) -> list[str]:
    """Return how far below the back tee the landing area and the green lie, where they do."""
    tee, found = hole.tees[0], []
    middle = hole.line.interpolate(0.55, normalized=True)
    places = {"half way": (middle.x, middle.y)} if hole.par > 3 else {}
    for name, (x, y) in (places | {"the green": hole.pin}).items():
        fall = ground.elevation(tee.x, tee.y) - ground.elevation(x, y)
        if abs(fall) >= _LEVEL:
            way = "below" if fall > 0 else "above"
            found.append(sentence(f"{name} lies {distance(abs(fall), metric=metric)} {way} the back tee"))
    return found
