"""The range picture: outlines of where each driver strike's drives land about the line of aim."""

from collections.abc import Sequence
from math import ceil, floor
from typing import Final, NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString, box
from shapely.geometry.base import BaseGeometry

from holesim.handouts.hole_map import DASHES, to_shape
from holesim.pictures.hole_picture import DRIVER_STYLES
from holesim.pictures.typesetting import QUIET, SMALL, Canvas, printed_width
from holesim.plan.plan_tables import DrivingFile
from holesim.units import YARD

Floats = NDArray[np.float64]

_GUTTER: Final = 22.0  # pt, for numbers left of the picture
_FOOT: Final = 20.0  # pt, for numbers below it
_MARGIN: Final = 1.06  # of what is shown
_STEPS: Final = (5, 10, 20, 25, 50, 100)
_LEAST_APART: Final = 26.0  # pt, between numbers
_ALONG: Final = 55.0  # pt, between markers along an outline


class _View(NamedTuple):
    """What is shown: lengths in yards or metres, and points on paper for each."""

    left: float
    right: float
    near: float
    far: float
    scale: float
    x: float
    y: float

    def at(self, points: Floats) -> list[tuple[float, float]]:
        """Return where points of the range stand on the page."""
        across = self.x + (points[:, 0] - self.left) * self.scale
        down = self.y + (self.far - points[:, 1]) * self.scale
        return list(zip(across.tolist(), down.tolist(), strict=True))


def draw_range(
    canvas: Canvas, place: tuple[float, float, float, float], strikes: Sequence[DrivingFile], *, metric: bool
) -> None:
    """Draw where drives land on level ground in calm air, true to scale.

    Parameters
    ----------
    place
        Left, top, width and height on the page [pt].
    """
    unit = 1.0 if metric else YARD
    shapes = {
        s.strike: [(o.share, _scaled(to_shape(o.polygons), 1 / unit)) for o in s.outlines] for s in strikes
    }
    main = [
        max(shapely.get_parts(shape), key=lambda part: part.area)
        for own in shapes.values()
        for _, shape in own
    ]
    view = _fit(shapely.total_bounds(np.array([*main, shapely.Point(0, main[0].centroid.y)])), place)
    _draw_grid(canvas, view, unit="m" if metric else "yd")
    frame = box(view.left, view.near, view.right, view.far)
    for number, (name, own) in enumerate(shapes.items()):
        style = DRIVER_STYLES[name]
        for share, shape in own:
            for part in shapely.get_parts(shape):
                ring = LineString(part.exterior.coords)
                for line in shapely.get_parts(ring.intersection(frame)):
                    path = view.at(shapely.get_coordinates(line))
                    wide = 1.5 if share <= 0.5 else 1.0
                    if len(path) > 1:
                        canvas.draw_path(path, lw=wide, c=style.colour, ls=DASHES.get(share, "-"))
            biggest = LineString(max(shapely.get_parts(shape), key=lambda part: part.area).exterior.coords)
            steps = max(round(biggest.length * view.scale / _ALONG), 3)
            along = [biggest.interpolate((k + number / 2) / steps, normalized=True) for k in range(steps)]
            for x, y in view.at(shapely.get_coordinates(along)):
                canvas.draw_line(x, x, y, c=style.colour, marker=style.marker, ms=4.5, mec="white", mew=0.5)


def _scaled(shape: BaseGeometry, factor: float) -> BaseGeometry:
    return shapely.transform(shape, lambda points: points * factor)


def _fit(bounds: Floats, place: tuple[float, float, float, float]) -> _View:
    """Return a view that shows some bounds, with the same scale across and along."""
    x, y, wide, tall = place
    wide, tall = wide - _GUTTER, tall - _FOOT
    left, near, right, far = bounds.tolist()
    scale = min(wide / (right - left), tall / (far - near)) / _MARGIN
    across, along = wide / scale / 2, tall / scale / 2
    middle, centre = (left + right) / 2, (near + far) / 2
    return _View(
        middle - across, middle + across, max(centre - along, 0.0), max(centre - along, 0.0) + 2 * along,
        scale, x + _GUTTER, y,
    )  # fmt: skip


def _draw_grid(canvas: Canvas, view: _View, *, unit: str) -> None:
    """Draw the line of aim, and lines across and along with their distances."""
    step = next((s for s in _STEPS if s * view.scale >= _LEAST_APART), _STEPS[-1])
    bottom, right = (
        view.y + (view.far - view.near) * view.scale,
        view.x + (view.right - view.left) * view.scale,
    )
    for k in range(ceil(view.near / step), floor(view.far / step) + 1):
        y = view.y + (view.far - k * step) * view.scale
        canvas.draw_rule(view.x, right, y)
        if view.y + 5 < y < bottom - 3:
            canvas.write_right(view.x - 3, y - 5, f"{k * step}", size=SMALL, colour=QUIET)
    for k in range(ceil(view.left / step), floor(view.right / step) + 1):
        x = view.x + (k * step - view.left) * view.scale
        how = {"lw": 1.0, "c": QUIET, "ls": (0, (6, 2, 1, 2))} if k == 0 else {"lw": 0.5, "c": "#d4d4d4"}
        canvas.draw_path([(x, view.y), (x, bottom)], **how)
        text = "aim" if k == 0 else f"{abs(k) * step}"
        _write_middle(canvas, x, bottom + 1, text, view.x, right)
    canvas.write(
        view.x, bottom + 10, f"carry, and left or right of the aim, {unit}", size=SMALL, colour=QUIET
    )


def _write_middle(canvas: Canvas, x: float, y: float, text: str, left: float, right: float) -> None:
    """Write about x, where it stays between two edges."""
    half = printed_width(text, SMALL) / 2
    if left + half <= x <= right - half:
        canvas.write(x - half, y, text, size=SMALL, colour=QUIET)
