"""Charts of a course and of each hole as they were read, to compare with what one knows of them."""

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
    FIGURE,
    GUTTER,
    TEXT_WIDTH,
    MapAxes,
    draw_distances,
    draw_ground,
    draw_north,
    draw_tee_and_pin,
    hole_axes,
    save_png,
    write_legend,
)
from holesim.pictures.typesetting import (
    INK,
    QUIET,
    SMALL,
    Canvas,
    matplotlib_defaults,
    printed_width,
    wrap,
)
from holesim.reports.check_text import find_gaps
from holesim.units import YARD

Floats = NDArray[np.float64]

_LEAST_FALL: Final = 0.5  # m, a smaller one is not told
_MAX_GUESSES: Final = 16  # in one picture
_ACROSS, _WORDS, _EDGE = 7.0, 2.55, 0.2  # in


def chart_course(course: Course, *, ax: Axes | None = None, metric: bool = False) -> Axes:
    """Draw a whole course, north up, holes numbered at their tees, and beside it what is guessed or missing.

    Parameters
    ----------
    ax
        Where to draw, in metres; text at its right takes 2.5 in. By default in a new figure.
    metric
        Metres instead of yards.

    Examples
    --------
    >>> from holesim import load_course
    >>> from holesim.data.examples import COURSE, find
    >>> axes = chart_course(load_course(find(COURSE)))
    >>> [text.get_text() for text in axes.texts if text.get_text().isdigit()][:3]
    ['1', '2', '3']
    """
    shapes = [course.boundary, *(shape for hole in course.holes for shape in (hole.line, hole.green))]
    points = shapely.get_coordinates(shapes)
    map_axes = MapAxes(ax or _fitting_axes(points), (0.0, 0.0), (0.0, 1.0))
    map_axes.fit(points)
    kinds = draw_ground(map_axes, course)
    for hole in course.holes:
        _draw_line(map_axes, hole.line)
        x, y = hole.line.coords[0]
        map_axes.label(
            [(x, y), (x, y - 12 * map_axes.point), (x + 12 * map_axes.point, y)], str(hole.number), size=9
        )
    draw_north(map_axes)
    _draw_scale(map_axes, metric=metric)
    canvas = map_axes.margin
    y = canvas.write(GUTTER, 0, course.name, size=16, bold=True, width=TEXT_WIDTH, max_lines=3)
    par, longest = sum(hole.par for hole in course.holes), sum(hole.tees[0].length for hole in course.holes)
    text = f"{len(course.holes)} holes, par {par}, {distance(longest, metric=metric)}"
    y = canvas.draw_rule(
        GUTTER, GUTTER + TEXT_WIDTH, canvas.write(GUTTER, y + 1, text, size=9, width=TEXT_WIDTH) + 7
    )
    for head, guesses in (("Guessed", course.guesses), ("Missing", find_gaps(course))):
        y = _write_guesses(canvas, y + 6, head, guesses)
    write_legend(map_axes, canvas, y + 8, kinds)
    return map_axes.ax


def chart_hole(
    course: Course, hole: Hole, ground: GroundMap, *, ax: Axes | None = None, metric: bool = False
) -> Axes:
    """Draw a hole, back tee at the foot and pin above it: its line, its tees and how far it rises or falls.

    Parameters
    ----------
    ground
        What `map_ground` makes of the course.
    ax, metric
        As for `chart_course`.
    """
    back = hole.tees[0]
    map_axes = MapAxes(ax or hole_axes(), (back.x, back.y), hole.pin)
    tees = map_axes.to_axes(np.array([(tee.x, tee.y) for tee in hole.tees]))
    inside = [map_axes.to_axes(shapely.get_coordinates(shape)) for shape in (hole.line, hole.green)]
    map_axes.fit(np.concatenate([*inside, tees]))
    kinds = draw_ground(map_axes, course)
    draw_tee_and_pin(map_axes)
    draw_north(map_axes)
    _draw_line(map_axes, shapely.transform(hole.line, map_axes.to_axes))
    for tee, (x, y) in zip(hole.tees, tees, strict=True):
        name = wrap(tee.name, 90, 1, size=SMALL)[0]
        beside = (12 + printed_width(name, SMALL) / 2) * map_axes.point
        map_axes.label([(x + beside, y), (x - beside, y)], name)
    draw_distances(map_axes, unit=1.0 if metric else YARD, reach=map_axes.length, short=hole.par == 3)
    canvas = map_axes.margin
    y = canvas.write(GUTTER, 0, course.name, colour=QUIET, width=TEXT_WIDTH, max_lines=2)
    y = canvas.write(GUTTER, y + 2, f"Hole {hole.number}", size=20, bold=True)
    index = "" if hole.stroke_index is None else f", stroke index {hole.stroke_index}"
    y = canvas.write(GUTTER, y + 1, f"par {hole.par}{index}", size=9)
    y = canvas.draw_rule(GUTTER, GUTTER + TEXT_WIDTH, y + 7) + 6
    for tee in hole.tees:
        canvas.write(GUTTER, y, tee.name, width=TEXT_WIDTH - 50, max_lines=1)
        y = canvas.write_right(GUTTER + TEXT_WIDTH, y, distance(tee.length, metric=metric))
    for text in _height_texts(hole, ground, metric=metric):
        y = canvas.write(GUTTER, y + 5, text, width=TEXT_WIDTH)
    write_legend(map_axes, canvas, y + 8, kinds)
    return map_axes.ax


def save_charts(course: Course, folder: Path, *, metric: bool = False) -> None:
    """Write a PNG of the course, and one of each hole."""
    ground = map_ground(course)
    with matplotlib_defaults():
        save_png(chart_course(course, metric=metric), folder / "course.png")
        for hole in course.holes:
            save_png(chart_hole(course, hole, ground, metric=metric), folder / f"hole-{hole.number:02d}.png")


def _fitting_axes(points: Floats) -> Axes:
    """Return axes in the shape of a course, with room for text at their right."""
    wide, tall = np.ptp(points, axis=0)
    height = _ACROSS * float(np.clip(tall / wide, 0.7, 1.5))
    size = _ACROSS + _WORDS + 2 * _EDGE, height + 2 * _EDGE
    figure = Figure(figsize=size, dpi=FIGURE["dpi"])
    return figure.add_axes((_EDGE / size[0], _EDGE / size[1], _ACROSS / size[0], height / size[1]))


def _draw_line(map_axes: MapAxes, line: shapely.LineString) -> None:
    halo = [withStroke(linewidth=2.4, foreground="white", alpha=0.6)]
    map_axes.ax.plot(*shapely.get_coordinates(line).T, c=INK, lw=0.9, path_effects=halo, zorder=5)


def _draw_scale(map_axes: MapAxes, *, metric: bool) -> None:
    """Draw a bar of a round length in the lower left corner."""
    unit = 1.0 if metric else YARD
    count = next(n for n in (500, 200, 100, 50) if n * unit < (map_axes.right - map_axes.left) / 3 or n == 50)
    x, y = map_axes.left + 12 * map_axes.point, map_axes.bottom + 10 * map_axes.point
    map_axes.ax.plot([x, x + count * unit], [y, y], c=INK, lw=1.4, solid_capstyle="butt", zorder=6)
    map_axes.label([(x + count * unit / 2, y + 3 * map_axes.point)], f"{count} {'m' if metric else 'yd'}")


def _write_guesses(canvas: Canvas, y: float, head: str, guesses: Sequence[Guess]) -> float:
    if not guesses:
        return y
    y = canvas.write(GUTTER, y, head, size=10.5, bold=True)
    for guess in guesses[:_MAX_GUESSES]:
        y = canvas.write(GUTTER, y + 3, str(guess), size=7.5, width=TEXT_WIDTH, max_lines=6)
    more = len(guesses) - _MAX_GUESSES
    return canvas.write(GUTTER, y + 3, f"and {more} more", size=7.5) if more > 0 else y


def _height_texts(hole: Hole, ground: GroundMap, *, metric: bool) -> list[str]:
    """Return how far below or above the back tee the landing area and the green lie."""
    tee, found = hole.tees[0], []
    middle = hole.line.interpolate(0.55, normalized=True)
    places = {"half way": (middle.x, middle.y)} if hole.par > 3 else {}
    for name, (x, y) in (places | {"the green": hole.pin}).items():
        fall = ground.elevation(tee.x, tee.y) - ground.elevation(x, y)
        if abs(fall) >= _LEAST_FALL:
            way = "below" if fall > 0 else "above"
            found.append(sentence(f"{name} lies {distance(abs(fall), metric=metric)} {way} the back tee"))
    return found
