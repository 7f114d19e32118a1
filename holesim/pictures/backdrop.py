"""Backdrops: the ground of a hole or a course, drawn to scale in quiet tints, with tee, pin and north."""

from collections.abc import Iterable, Mapping, Sequence
from math import atan2, cos, hypot, sin, sqrt
from pathlib import Path
from typing import Any, Final, cast

import numpy as np
import shapely
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import PathPatch
from matplotlib.path import Path as Outline
from matplotlib.patheffects import withStroke
from matplotlib.transforms import Affine2D, Affine2DBase, ScaledTranslation
from numpy.typing import NDArray
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from holesim.course.course import NAMES, Course, Ground, bare_ground, grounds
from holesim.pictures.typesetting import INK, QUIET, SMALL, Canvas, font, printed_width
from holesim.plan.hole_wind import HoleWind, speed_text

Floats = NDArray[np.float64]

FIGURE: Final[dict[str, Any]] = {"figsize": (7.0, 9.5), "dpi": 150}  # in
_AXES: Final = (0.035, 0.025, 0.58, 0.95)  # left, bottom, width and height, as shares of the figure
GUTTER, TEXT_WIDTH = 13.0, 168.0  # pt, between the picture and the text, and across the text

GROUND_COLOURS: Final = {
    Ground.ROUGH: (NAMES[Ground.ROUGH], "#c3d4a6", "#b3c695"),
    Ground.HEAVY_ROUGH: (NAMES[Ground.HEAVY_ROUGH], "#abbb8c", "#abbb8c"),
    Ground.TREES: (NAMES[Ground.TREES], "#8ba57f", "#7b966f"),
    Ground.FAIRWAY: (NAMES[Ground.FAIRWAY], "#dbe8c3", "#b3c890"),
    Ground.TEE: (NAMES[Ground.TEE], "#eaf2d9", "#8fa577"),
    Ground.GREEN: (NAMES[Ground.GREEN], "#f1f8e0", "#7f9a68"),
    Ground.BUNKER: ("sand", "#f8ecc6", "#bfa974"),
    Ground.YELLOW: (NAMES[Ground.YELLOW], "#cfdfe9", "#c29b2b"),
    Ground.RED: (NAMES[Ground.RED], "#cfdfe9", "#b3605a"),
    Ground.OUT: (NAMES[Ground.OUT], "#e4e1dc", "#a8a29a"),
}
"""Name, fill and edge of each kind of ground, in the order in which they are painted over one another."""

_FLAG: Final = [(-0.04, 0), (-0.04, 1), (0.04, 1), (0.62, 0.8), (0.04, 0.6), (0.04, 0), (-0.04, 0)]


def hole_axes() -> Axes:
    """Return axes for a hole in a new figure, with room for text at their right."""
    return Figure(**FIGURE).add_axes(_AXES)


def save_png(ax: Axes, path: Path) -> None:
    """Write the figure that holds some axes."""
    figure = ax.get_figure(root=True)
    if figure is not None:
        figure.savefig(path, format="png", metadata={"Software": "holesim"})


class MapAxes:
    """Axes [m] for a hole: the tee is their origin, and the pin lies straight up from it.

    Attributes
    ----------
    ax
        Matplotlib's axes.
    bearing, length
        Bearing [rad] and distance [m] of the pin from the tee.
    left, right, bottom, top
        What the axes show [m], once `fit` has been called.
    point
        Metres on the ground for a point on paper, likewise.
    """

    def __init__(self, ax: Axes, tee: tuple[float, float], pin: tuple[float, float]) -> None:
        self.ax, self.tee = ax, tee
        dx, dy = pin[0] - tee[0], pin[1] - tee[1]
        self.bearing, self.length = atan2(dx, dy), hypot(dx, dy)
        self._label_boxes: list[Polygon] = []

    def to_axes(self, points: Floats) -> Floats:
        """Return where points of the hole's frame lie on the axes, shape (points, 2)."""
        dx, dy = points[:, 0] - self.tee[0], points[:, 1] - self.tee[1]
        s, c = sin(self.bearing), cos(self.bearing)
        return np.column_stack([dx * c - dy * s, dx * s + dy * c])

    def to_hole(self, points: Floats) -> Floats:
        """Return where points of the axes lie in the hole's frame, shape (points, 2)."""
        (x, y), s, c = points.T, sin(self.bearing), cos(self.bearing)
        return np.column_stack([self.tee[0] + x * c + y * s, self.tee[1] - x * s + y * c])

    def fit(self, points: Floats) -> None:
        """Set the limits of the axes so that points on them are in view, to scale and with room around."""
        low, high = points.min(axis=0), points.max(axis=0)
        extent = self.ax.get_window_extent()
        wide, tall = high - low + 30
        size = max(tall, wide * extent.height / extent.width)
        half = np.array([size * extent.width / extent.height, size]) / 2
        (self.left, self.bottom), (self.right, self.top) = (low + high) / 2 - half, (low + high) / 2 + half
        self.point = size / extent.height * self.ax.figure.dpi / 72
        self.ax.set(
            xlim=(self.left, self.right), ylim=(self.bottom, self.top), xticks=[], yticks=[], aspect="equal"
        )

    @property
    def window(self) -> Polygon:
        """The rectangle that the axes show."""
        return Polygon.from_bounds(self.left, self.bottom, self.right, self.top)

    def label(
        self, places: Iterable[tuple[float, float]], text: str, *, size: float = SMALL, colour: str = INK
    ) -> None:
        """Write text above the first of some places [m, on the axes] where it covers no other label."""
        bold, gap = size > SMALL, 3 * self.point
        half = printed_width(text, size, bold=bold) / 2 * self.point
        for place, y in places:
            x = min(max(place, self.left + half + gap), self.right - half - gap)
            box = shapely.box(x - half, y, x + half, y + 1.2 * size * self.point)
            if not any(box.intersects(other) for other in self._label_boxes):
                self._label_boxes.append(box)
                halo = withStroke(linewidth=2.2, foreground="white", alpha=0.85)
                how: dict[str, Any] = {
                    "path_effects": [halo],
                    "parse_math": False,
                    "clip_on": True,
                    "zorder": 7,
                }
                self.ax.text(
                    x, y, text, ha="center", color=colour, fontproperties=font(size, bold=bold), **how
                )
                return

    @property
    def margin(self) -> Canvas:
        """The place to write beside the axes, its corner their top right one."""
        inches = Affine2D().scale(1 / 72, -1 / 72) + self.ax.figure.dpi_scale_trans
        corner = ScaledTranslation(1, 1, cast("Affine2DBase", self.ax.transAxes))
        return Canvas(self.ax.add_artist, inches + corner)


def draw_ground(map_axes: MapAxes, course: Course, unmapped: str | None = None) -> list[Ground]:
    """Paint the part of a course that is in view; return the kinds of ground in it.

    Parameters
    ----------
    unmapped
        The ground outside all outlines, "rough" or "heavy", if not what the course says.
    """
    window = shapely.transform(map_axes.window, map_axes.to_hole)
    return paint_ground(map_axes, bare_ground(course, unmapped), grounds(course, window))


def paint_ground(map_axes: MapAxes, bare: Ground, shapes: Mapping[Ground, BaseGeometry]) -> list[Ground]:
    """Paint shapes of ground [m, the hole's frame] over `bare` ground; return the kinds in view."""
    map_axes.ax.set_facecolor(GROUND_COLOURS[bare][1])
    for spine in map_axes.ax.spines.values():
        spine.set(color="#8a8a8a", linewidth=0.6)
    kinds = {bare}
    for ground in GROUND_COLOURS:
        shape = shapely.transform(shapes.get(ground, Polygon()), map_axes.to_axes)
        if shape.intersects(map_axes.window):
            kinds.add(ground)
            # add_patch would walk every edge to find limits that are set already.
            map_axes.ax.add_artist(PathPatch(_outline(shape), zorder=1, **_patch_style(ground)))
    return [ground for ground in GROUND_COLOURS if ground in kinds]


def _patch_style(ground: Ground) -> dict[str, Any]:
    _, fill, edge = GROUND_COLOURS[ground]
    width = 1.1 if ground in (Ground.RED, Ground.YELLOW) else 0.7
    return {"fc": fill, "ec": edge, "lw": width, "hatch": "////" if ground is Ground.OUT else ""}


def _outline(shape: shapely.Geometry) -> Outline:
    polygons = [p for p in shapely.get_parts(shape) if p.geom_type == "Polygon"]
    rings = [ring for polygon in polygons for ring in (polygon.exterior, *polygon.interiors)]
    return Outline.make_compound_path(*(Outline(shapely.get_coordinates(r), closed=True) for r in rings))


def draw_distances(map_axes: MapAxes, *, unit: float, reach: float, short: bool) -> None:
    """Draw arcs of equal distance from the tee, labelled at the left, and to the pin, at the right.

    Parameters
    ----------
    unit
        The unit of distance [m]; an arc is drawn every 50 of it.
    reach
        How far from the tee the arcs go [m].
    short
        Whether the hole is a par 3, where arcs nearer to tee and pin are of use.
    """
    reach = min(reach, map_axes.length - 8) / unit
    bend = np.linspace(-np.pi / 2, np.pi / 2, 181)
    arcs = [(n, 0.0, 1, f"{n}") for n in range(100 if short else 150, 501, 50) if n < reach]
    to_pin = (50,) if short else (100, 150, 200)
    arcs += [(n, map_axes.length, -1, f"{n} to pin") for n in to_pin if map_axes.length - n * unit > 45]
    for count, start, way, text in arcs:
        r, dashes = count * unit, "-" if way > 0 else (0, (1, 2.5))
        x, y = r * np.sin(bend), start + way * r * np.cos(bend)
        map_axes.ax.plot(x, y, c=QUIET, lw=0.6, ls=dashes, alpha=0.55, zorder=2)
        ends = (
            max(map_axes.left + 12 * map_axes.point, -0.8 * r),
            min(map_axes.right - 24 * map_axes.point, 0.8 * r),
        )
        places = [(end, start + way * sqrt(r * r - end * end) + 2 * map_axes.point) for end in ends[::way]]
        map_axes.label(places, text, colour=QUIET)


def draw_tee_and_pin(map_axes: MapAxes, flag: float = 34.0) -> None:
    """Mark tee and pin, with a flag that is `flag` points tall."""
    ax, how = map_axes.ax, dict[str, Any](c=INK, mec="white", zorder=6.5)
    ax.plot(0, 0, marker="s", ms=4.5, mew=0.8, **how)
    ax.plot(0, map_axes.length, marker=Outline(_FLAG), ms=flag, mew=0.7, **how)
    ax.plot(0, map_axes.length, marker="o", ms=3, mew=0, **how)


def draw_north(map_axes: MapAxes) -> None:
    """Draw an arrow to the north in the lower right corner."""
    dx, dy = -sin(map_axes.bearing) * map_axes.point, cos(map_axes.bearing) * map_axes.point
    x, y = map_axes.right - 24 * map_axes.point, map_axes.bottom + 24 * map_axes.point
    arrow = {"arrowstyle": "-|>", "color": INK, "linewidth": 0.9, "shrinkA": 0, "shrinkB": 0}
    map_axes.ax.annotate("", (x + 7 * dx, y + 7 * dy), (x - 13 * dx, y - 13 * dy), arrowprops=arrow, zorder=7)
    map_axes.label([(x + 13 * dx, y + 13 * dy - 3.5 * map_axes.point)], "N", size=8)


def draw_wind(map_axes: MapAxes, wind: HoleWind, *, metric: bool = False) -> None:
    """Draw an arrow that points where the wind blows to, in the lower left corner."""
    angle = wind.bearing - map_axes.bearing
    dx, dy = -sin(angle) * map_axes.point, -cos(angle) * map_axes.point
    x, y = map_axes.left + 30 * map_axes.point, map_axes.bottom + 34 * map_axes.point
    arrow = {"arrowstyle": "simple,head_width=0.7,head_length=0.7", "fc": INK, "ec": "white", "lw": 0.7}
    map_axes.ax.annotate(
        "", (x + 16 * dx, y + 16 * dy), (x - 16 * dx, y - 16 * dy), arrowprops=arrow, zorder=7
    )
    map_axes.label(
        [(x, map_axes.bottom + 6 * map_axes.point)], f"wind {speed_text(wind.speed, metric=metric)}"
    )


def write_legend(map_axes: MapAxes, canvas: Canvas, y: float, kinds: Sequence[Ground]) -> None:
    """Name kinds of ground at the foot of the margin, or from y on if that is lower."""
    rows = (len(kinds) + 1) // 2
    y = max(y, (map_axes.top - map_axes.bottom) / map_axes.point - 11 * rows)
    for i, ground in enumerate(kinds):
        left, top = GUTTER + 76 * (i // rows), y + 11 * (i % rows)
        canvas.draw_swatch(left, top + 1, **_patch_style(ground))
        canvas.write(left + 16, top, GROUND_COLOURS[ground][0], size=SMALL)
