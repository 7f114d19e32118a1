"""Backdrops: a hole or a course on axes, on quiet natural ground, before anything is played on it."""

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
from holesim.pictures.typesetting import INK, QUIET, SMALL, Sheet, font, printed_width
from holesim.plan.hole_wind import HoleWind, told

Floats = NDArray[np.float64]

PICTURE: Final[dict[str, Any]] = {"figsize": (7.0, 9.5), "dpi": 150}  # in
PLACE: Final = (0.035, 0.025, 0.58, 0.95)
GUTTER, WIDE = 13.0, 168.0  # pt, between the picture and the words, and across the words

# Painted from first to last, so that a lower code of `Ground` covers a higher one: name, fill and edge.
PAINT: Final = {
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
_POLE = [(-0.04, 0), (-0.04, 1), (0.04, 1), (0.62, 0.8), (0.04, 0.6), (0.04, 0), (-0.04, 0)]


def hole_axes() -> Axes:
    """Return axes for a hole in a new figure, with room for the words at their right."""
    return Figure(**PICTURE).add_axes(PLACE)


def save_png(ax: Axes, path: Path) -> None:
    """Write the figure that axes stand in."""
    figure = ax.get_figure(root=True)
    if figure is not None:
        figure.savefig(path, format="png", metadata={"Software": "holesim"})


class View:
    """Ground on axes [m], turned so that the pin is straight up from the tee, which is the origin."""

    def __init__(self, ax: Axes, tee: tuple[float, float], pin: tuple[float, float]) -> None:
        self.ax, self.tee = ax, tee
        dx, dy = pin[0] - tee[0], pin[1] - tee[1]
        self.bearing, self.length = atan2(dx, dy), hypot(dx, dy)
        self.taken: list[Polygon] = []

    def turn(self, points: Floats) -> Floats:
        """Return points of the hole frame as they stand on the axes."""
        dx, dy = points[:, 0] - self.tee[0], points[:, 1] - self.tee[1]
        s, c = sin(self.bearing), cos(self.bearing)
        return np.column_stack([dx * c - dy * s, dx * s + dy * c])

    def back(self, points: Floats) -> Floats:
        """Return points of the axes as they lie in the hole frame."""
        (x, y), s, c = points.T, sin(self.bearing), cos(self.bearing)
        return np.column_stack([self.tee[0] + x * c + y * s, self.tee[1] - x * s + y * c])

    def frame(self, points: Floats) -> None:
        """Let the axes show points, which stand on them, to scale and with room around them."""
        low, high = points.min(axis=0), points.max(axis=0)
        extent = self.ax.get_window_extent()
        wide, tall = high - low + 30
        size = max(tall, wide * extent.height / extent.width)
        half = np.array([size * extent.width / extent.height, size]) / 2
        (self.left, self.bottom), (self.right, self.top) = (low + high) / 2 - half, (low + high) / 2 + half
        self.point = size / extent.height * self.ax.figure.dpi / 72  # m on the ground for a point on paper
        self.ax.set(
            xlim=(self.left, self.right), ylim=(self.bottom, self.top), xticks=[], yticks=[], aspect="equal"
        )

    @property
    def window(self) -> Polygon:
        """What the axes show, as it stands on them."""
        return Polygon.from_bounds(self.left, self.bottom, self.right, self.top)

    def label(
        self, places: Iterable[tuple[float, float]], text: str, *, size: float = SMALL, colour: str = INK
    ) -> None:
        """Write above the first of the places where nothing is written yet."""
        bold, gap = size > SMALL, 3 * self.point
        half = printed_width(text, size, bold=bold) / 2 * self.point
        for place, y in places:
            x = min(max(place, self.left + half + gap), self.right - half - gap)
            box = shapely.box(x - half, y, x + half, y + 1.2 * size * self.point)
            if not any(box.intersects(other) for other in self.taken):
                self.taken.append(box)
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

    def margin(self) -> Sheet:
        """Return a place to write beside the axes, from their top right corner on."""
        inches = Affine2D().scale(1 / 72, -1 / 72) + self.ax.figure.dpi_scale_trans
        corner = ScaledTranslation(1, 1, cast("Affine2DBase", self.ax.transAxes))
        return Sheet(self.ax.add_artist, inches + corner)


def draw_ground(view: View, course: Course, unmapped: str | None = None) -> list[Ground]:
    """Paint what of a course is in view; return its kinds.

    Parameters
    ----------
    unmapped
        What lies in no outline, "rough" or "heavy", where the course is overruled.
    """
    window = shapely.transform(view.window, view.back)
    return paint(view, bare_ground(course, unmapped), grounds(course, window))


def paint(view: View, bare: Ground, shapes: Mapping[Ground, BaseGeometry]) -> list[Ground]:
    """Paint kinds of ground [m, hole frame] over what lies in no outline; return those in view."""
    view.ax.set_facecolor(PAINT[bare][1])
    for spine in view.ax.spines.values():
        spine.set(color="#8a8a8a", linewidth=0.6)
    kinds = {bare}
    for ground in PAINT:
        shape = shapely.transform(shapes.get(ground, Polygon()), view.turn)
        if shape.intersects(view.window):
            kinds.add(ground)
            # add_patch would walk every edge to find limits that are set already.
            view.ax.add_artist(PathPatch(_outline(shape), zorder=1, **_paint(ground)))
    return [ground for ground in PAINT if ground in kinds]


def _paint(ground: Ground) -> dict[str, Any]:
    _, fill, edge = PAINT[ground]
    width = 1.1 if ground in (Ground.RED, Ground.YELLOW) else 0.7
    return {"fc": fill, "ec": edge, "lw": width, "hatch": "////" if ground is Ground.OUT else ""}


def _outline(shape: shapely.Geometry) -> Outline:
    polygons = [p for p in shapely.get_parts(shape) if p.geom_type == "Polygon"]
    rings = [ring for polygon in polygons for ring in (polygon.exterior, *polygon.interiors)]
    return Outline.make_compound_path(*(Outline(shapely.get_coordinates(r), closed=True) for r in rings))


def draw_distances(view: View, *, unit: float, reach: float, short: bool) -> None:
    """Draw quiet arcs: every 50 from the tee as far as `reach` [m], labelled at the left, and to the pin.

    Parameters
    ----------
    unit
        What distances are counted in [m].
    short
        Whether the hole is a par 3, where nearer distances matter.
    """
    reach = min(reach, view.length - 8) / unit
    bend = np.linspace(-np.pi / 2, np.pi / 2, 181)
    arcs = [(n, 0.0, 1, f"{n}") for n in range(100 if short else 150, 501, 50) if n < reach]
    to_pin = (50,) if short else (100, 150, 200)
    arcs += [(n, view.length, -1, f"{n} to pin") for n in to_pin if view.length - n * unit > 45]
    for count, start, way, text in arcs:
        r, dashes = count * unit, "-" if way > 0 else (0, (1, 2.5))
        x, y = r * np.sin(bend), start + way * r * np.cos(bend)
        view.ax.plot(x, y, c=QUIET, lw=0.6, ls=dashes, alpha=0.55, zorder=2)
        ends = max(view.left + 12 * view.point, -0.8 * r), min(view.right - 24 * view.point, 0.8 * r)
        places = [(end, start + way * sqrt(r * r - end * end) + 2 * view.point) for end in ends[::way]]
        view.label(places, text, colour=QUIET)


def draw_tee_and_pin(view: View, flag: float = 34.0) -> None:
    """Mark where a hole begins and ends, by a flag of so many points."""
    ax, how = view.ax, dict[str, Any](c=INK, mec="white", zorder=6.5)
    ax.plot(0, 0, marker="s", ms=4.5, mew=0.8, **how)
    ax.plot(0, view.length, marker=Outline(_POLE), ms=flag, mew=0.7, **how)
    ax.plot(0, view.length, marker="o", ms=3, mew=0, **how)


def draw_north(view: View) -> None:
    """Point north, in the lower right corner."""
    dx, dy = -sin(view.bearing) * view.point, cos(view.bearing) * view.point
    x, y = view.right - 24 * view.point, view.bottom + 24 * view.point
    arrow = {"arrowstyle": "-|>", "color": INK, "linewidth": 0.9, "shrinkA": 0, "shrinkB": 0}
    view.ax.annotate("", (x + 7 * dx, y + 7 * dy), (x - 13 * dx, y - 13 * dy), arrowprops=arrow, zorder=7)
    view.label([(x + 13 * dx, y + 13 * dy - 3.5 * view.point)], "N", size=8)


def draw_wind(view: View, wind: HoleWind, *, metric: bool = False) -> None:
    """Show where the wind blows, in the lower left corner."""
    angle = wind.bearing - view.bearing
    dx, dy = -sin(angle) * view.point, -cos(angle) * view.point
    x, y = view.left + 30 * view.point, view.bottom + 34 * view.point
    arrow = {"arrowstyle": "simple,head_width=0.7,head_length=0.7", "fc": INK, "ec": "white", "lw": 0.7}
    view.ax.annotate("", (x + 16 * dx, y + 16 * dy), (x - 16 * dx, y - 16 * dy), arrowprops=arrow, zorder=7)
    view.label([(x, view.bottom + 6 * view.point)], f"wind {told(wind.speed, metric=metric)}")


def write_legend(view: View, sheet: Sheet, y: float, kinds: Sequence[Ground]) -> None:
    """Name the kinds of ground at the foot of the margin, or from y on if that is lower."""
    rows = (len(kinds) + 1) // 2
    y = max(y, (view.top - view.bottom) / view.point - 11 * rows)
    for i, ground in enumerate(kinds):
        left, top = GUTTER + 76 * (i // rows), y + 11 * (i % rows)
        sheet.swatch(left, top + 1, **_paint(ground))
        sheet.write(left + 16, top, PAINT[ground][0], size=SMALL)
