"""The ground map: a course's outlines painted on a grid once, so that looking up the ground is quick."""

from dataclasses import dataclass
from functools import cached_property, lru_cache
from math import floor
from typing import Final, Literal, NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.interpolate import RBFInterpolator
from scipy.ndimage import distance_transform_cdt
from shapely.geometry import Polygon

from holesim.common import disk_cache
from holesim.common._simd_kernel import singles
from holesim.common.parallel import share_out
from holesim.course import _ground_map_kernel as kernel
from holesim.course.course import TREE_HEIGHT, Area, Course, Firmness, Ground, Spot
from holesim.course.geojson import polygons_of

Floats = NDArray[np.float64]
Bounds = tuple[float, float, float, float]
"""The least x, least y, greatest x and greatest y of a rectangle [m]."""

CELL: Final = 1.0  # m; fine cells at edges are a sixteenth of it, so an edge is accurate to 5 cm
MARGIN: Final = 60.0  # m of ground beyond the outermost outline
_BANDS: Final = 8  # painted by separate threads
LARGEST: Final = 40_000_000  # coarse cells; a larger site gets larger cells
STEP: Final = 8.0  # m between grid points of elevation
MOST_NODES: Final = 100_000  # grid points of elevation; for more the step is longer
_ALL_TOGETHER: Final = 1000  # spots; with more, an elevation follows from the nearest spots alone
_NEIGHBOURS: Final = 50  # nearest spots used then
FIRMNESS: Final[tuple[Firmness, ...]] = ("soft", "medium", "firm")


@dataclass(frozen=True, eq=False)  # equal to itself only, so that it can be the key of a cache
class GroundMap:
    """The ground of a course as kernels read it, and the firmness of turf whose outline states none."""

    grid: kernel.Grid
    firmness: Firmness

    @cached_property
    def digest(self) -> str:
        """A digest of its content; the quarters of cells follow from the rest."""
        return disk_cache.digest(self.grid._replace(quarters=_NO_EDGES))

    def at(self, x: Floats, y: Floats) -> NDArray[np.int64]:
        """Return the `Ground` code at each point [m]."""
        out = np.empty(len(x), dtype=np.int64)
        kernel.look_up_all(np.ascontiguousarray(x), np.ascontiguousarray(y), self.grid, out)
        return out

    def elevation(self, x: float, y: float) -> float:
        """Return the elevation of a point [m]."""
        return float(kernel.elevation(*singles(x, y), self.grid))

    def part(self, bounds: Bounds, beyond: Ground) -> "GroundMap":
        """Return the map of a rectangle, rounded outwards to whole coarse cells.

        Inside the ground and the elevation are those of the whole map. Outside the ground is `beyond`, and
        there are no trees, whatever the whole map has there.

        Examples
        --------
        >>> part = strip(30, 400).part((-5.5, 99.5, 5.5, 450.5), Ground.OUT)
        >>> codes = part.at(np.zeros(4), np.array([100.0, 300, 440, 460]))
        >>> [Ground(code).name for code in codes]
        ['FAIRWAY', 'FAIRWAY', 'ROUGH', 'OUT']
        """
        whole = self.grid
        corner, cell = (float(whole.x0), float(whole.y0)), float(whole.cell)
        rows, columns = _cells(bounds, corner, cell)
        up, on = (np.clip(i, 0, n - 1) for i, n in zip((rows, columns), whole.coarse.shape, strict=True))
        nearest = np.ix_(up, on)
        cut = whole.coarse[nearest]
        cut[up != rows] = cut[:, on != columns] = whole.outside
        edge = cut < 0
        coarse = cut & (kernel.CODES - 1)
        coarse[edge] = -1 - np.arange(edge.sum(), dtype=np.int32)
        x0, y0, x1, y1 = (
            start + cell * int(i)
            for i, start in zip((columns[0], rows[0], columns[-1] + 1, rows[-1] + 1), corner * 2, strict=True)
        )
        grid = whole._replace(
            x0=np.float32(x0),
            y0=np.float32(y0),
            coarse=coarse,
            fine=whole.fine[-1 - cut[edge]] if edge.any() else _NO_EDGES,
            quarters=np.empty(coarse.shape, dtype=np.uint32),
            outside=int(beyond),
            canopy=np.maximum(whole.canopy[nearest], 0),
            firmness=whole.firmness[nearest],
        )
        return _finished(_cut_heights(grid, (x0, y0, x1, y1)), self.firmness)


def _cells(
    bounds: Bounds, corner: tuple[float, float], width: float
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return the rows and columns of square cells, counted from a corner, that a rectangle touches."""
    columns, rows = (
        np.arange(floor((bounds[i] - corner[i]) / width), floor((bounds[i + 2] - corner[i]) / width) + 1)
        for i in (0, 1)
    )
    return rows, columns


def _cut_heights(grid: kernel.Grid, bounds: Bounds) -> kernel.Grid:
    """Return a map with the grid points of elevation that a rectangle needs."""
    if not np.ptp(grid.heights):
        return grid._replace(heights=grid.heights[:2, :2].copy(), heights_x0=grid.x0, heights_y0=grid.y0)
    step = 1 / float(grid.per_step)
    corner = float(grid.heights_x0), float(grid.heights_y0)
    # Beyond them the ground goes on as between the outermost two.
    (low, high), (left, right) = (
        np.clip(i[[0, -1]], 0, n - 2)
        for i, n in zip(_cells(bounds, corner, step), grid.heights.shape, strict=True)
    )
    x0, y0 = singles(corner[0] + step * left, corner[1] + step * low)
    heights = grid.heights[low : high + 2, left : right + 2].copy()
    return grid._replace(heights=heights, heights_x0=x0, heights_y0=y0)


class _Shape(NamedTuple):
    """A shape to paint: its ground, its outline, the height of its trees [m], and its firmness."""

    ground: Ground
    outline: Polygon
    canopy: float
    firmness: Firmness


def map_ground(
    course: Course,
    *,
    unmapped: Literal["rough", "heavy"] | None = None,
    firmness: Firmness | None = None,
) -> GroundMap:
    """Return the ground map of a course.

    Parameters
    ----------
    unmapped
        The ground inside the boundary and in no outline: by default rough where the course draws no rough,
        heavy rough where it does.
    firmness
        Of turf whose outline states none: by default that of the course.

    Examples
    --------
    >>> import numpy as np
    >>> from holesim.course.course import Ground
    >>> from holesim.course.course_file import load_course
    >>> from holesim.data.examples import COURSE, find
    >>> course = load_course(find(COURSE))
    >>> x, y = np.array([course.holes[0].pin]).T
    >>> Ground(map_ground(course).at(x, y)[0]).name
    'GREEN'
    """
    bare = (
        Ground.ROUGH
        if unmapped == "rough" or (unmapped is None and not course.maps_rough)
        else Ground.HEAVY_ROUGH
    )
    firmness = firmness or course.firmness
    shapes = [
        _Shape(area.ground, area.outline, treetop(area), area.firmness or firmness)
        for area in sorted(course.areas, key=lambda area: -area.ground)
    ]
    everything = [*(shape.outline for shape in shapes), *(hole.line for hole in course.holes)]
    if course.boundary is not None:
        everything.append(course.boundary)
    left, bottom, right, top = shapely.total_bounds(everything)
    # Without a boundary nothing is out of bounds, so the map extends as far as a ball may fly.
    margin = MARGIN if course.boundary is not None else 5 * MARGIN
    # Whole metres are exact in single precision.
    x0, y0 = np.floor(left - margin), np.floor(bottom - margin)
    width, height = right + margin - x0, top + margin - y0
    cell = float(np.float32(max(CELL, np.sqrt(width * height / LARGEST))))
    if course.boundary is not None:
        # Out of bounds has precedence over all else, so it is painted last.
        beyond = shapely.box(x0 - 1, y0 - 1, x0 + width + 2 * cell, y0 + height + 2 * cell).difference(
            course.boundary
        )
        # An inner ring of the boundary is a part by itself.
        shapes += [_Shape(Ground.OUT, part, 0.0, firmness) for part in polygons_of(beyond)]
    size = int(np.ceil(height / cell)), int(np.ceil(width / cell))
    edge = np.zeros(size, dtype=np.bool_)
    outlines = _outlines(shapes)
    kernel.mark_edges(outlines, x0, y0, cell, edge)
    coarse = np.full(size, int(bare), dtype=np.int32)
    edge_rows = np.concatenate([[0], np.cumsum(edge.sum(axis=1))])
    edge_columns = np.nonzero(edge)[1]
    coarse[edge] = -1 - np.arange(len(edge_columns), dtype=np.int32)
    fine = np.full((max(len(edge_columns), 1), kernel.FINE, kernel.FINE), int(bare), dtype=np.uint8)
    outside = Ground.OUT if course.boundary is not None else bare
    step = max(STEP, cell, np.sqrt(width * height / MOST_NODES))
    heights = _heights(course.spots, (x0, y0), step, (height, width))
    grid = _grid((x0, y0), cell, coarse, fine, outside, firmness, heights, step)

    def band(i: int) -> None:
        low, high = i * size[0] // _BANDS, (i + 1) * size[0] // _BANDS
        kernel.paint(outlines, grid, edge_columns, edge_rows, low, high)

    share_out(band, _BANDS)
    return _finished(grid, firmness)


def treetop(area: Area) -> float:
    """Return the height of the trees in an area [m], 0 if it has none."""
    if area.ground is not Ground.TREES:
        return 0.0
    return TREE_HEIGHT if area.height is None else area.height


def _heights(
    spots: tuple[Spot, ...], corner: tuple[float, float], step: float, size: tuple[float, float]
) -> NDArray[np.float32]:
    """Return the elevation [m] of grid points from the corner on, over a height and a width [m].

    It is interpolated with the radial basis function |r|: along the line between two spots the ground rises
    evenly, and beyond them hardly.
    """
    if len({spot.elevation for spot in spots}) < 2:
        return np.zeros((2, 2), dtype=np.float32)
    # Spots at the same place are merged.
    places: dict[tuple[float, float], list[float]] = {}
    for spot in spots:
        places.setdefault((round(spot.x), round(spot.y)), []).append(spot.elevation)
    y, x = np.meshgrid(
        *(start + step * np.arange(span // step + 2) for start, span in zip(corner[::-1], size, strict=True)),
        indexing="ij",
    )
    between = RBFInterpolator(
        np.array(list(places)), np.array([np.mean(values) for values in places.values()]),
        kernel="linear", degree=0, neighbors=_NEIGHBOURS if len(places) > _ALL_TOGETHER else None,
    )  # fmt: skip
    nodes = np.asarray(between(np.column_stack([x.ravel(), y.ravel()])).reshape(x.shape), dtype=np.float32)
    # Around a spot the ground is level, as tees and greens are: a peak between grid points would be lost.
    for (east, north), values in places.items():
        row, column = int((north - corner[1]) // step), int((east - corner[0]) // step)
        if row >= 0 and column >= 0:
            nodes[row : row + 2, column : column + 2] = np.mean(values)
    return nodes


def _grid(
    corner: tuple[float, float],
    cell: float,
    coarse: NDArray[np.int32],
    fine: NDArray[np.uint8],
    outside: Ground,
    firmness: Firmness,
    heights: NDArray[np.float32],
    step: float,
) -> kernel.Grid:
    x0, y0, metres, per_metre, per_step = singles(*corner, cell, 1 / cell, 1 / step)
    return kernel.Grid(
        x0=x0,
        y0=y0,
        cell=metres,
        per_metre=per_metre,
        coarse=coarse,
        fine=fine,
        quarters=np.empty(coarse.shape, dtype=np.uint32),
        outside=int(outside),
        canopy=np.zeros(coarse.shape, dtype=np.int16),
        tallest=np.float32(0),
        firmness=np.full(coarse.shape, FIRMNESS.index(firmness), dtype=np.uint8),
        heights=heights,
        heights_x0=x0,
        heights_y0=y0,
        per_step=per_step,
        even=False,
    )


def _finished(grid: kernel.Grid, firmness: Firmness) -> GroundMap:
    """Return the map of a painted grid: each clear cell also gets the number of clear cells around it."""
    inside = np.pad(grid.coarse >= 0, 1)  # beyond the map counts as an outline
    cells = distance_transform_cdt(inside, "chessboard")[1:-1, 1:-1]
    grid.coarse[:] += kernel.CODES * np.maximum(cells - 1, 0)
    kernel.quarter(grid)
    tallest = np.float32(grid.canopy.max())
    if tallest:
        away = distance_transform_cdt(grid.canopy == 0, "chessboard")
        grid.canopy[:] -= np.minimum(away, np.iinfo(np.int16).max).astype(np.int16)
    even = not np.ptp(grid.heights) and not np.ptp(grid.firmness)
    return GroundMap(grid._replace(tallest=tallest, even=bool(even)), firmness)


def _outlines(shapes: list[_Shape]) -> kernel.Outlines:
    grounds, outlines, canopies, firmness = zip(*shapes, strict=True)
    rings, shape = shapely.get_rings(outlines, return_index=True)
    x, y = shapely.get_coordinates(rings).T
    starts = np.append(0, np.cumsum(shapely.get_num_points(rings)))
    first = np.searchsorted(shape, np.arange(len(shapes) + 1))
    low, high = (reduce.reduceat(y, starts[first[:-1]]) for reduce in (np.minimum, np.maximum))
    return kernel.Outlines(
        np.ascontiguousarray(x), np.ascontiguousarray(y), starts, first, low, high, np.array(grounds),
        np.rint(canopies).astype(np.int16), np.array([FIRMNESS.index(f) for f in firmness], dtype=np.uint8),
    )  # fmt: skip


@lru_cache(maxsize=32)  # every strike of every golfer runs out on it
def plain(
    ground: Ground, *, firmness: Firmness = "medium", slope: tuple[float, float] = (0.0, 0.0)
) -> GroundMap:
    """Return endless ground of one kind, such as a practice ground.

    Parameters
    ----------
    slope
        Rise per metre to the east and to the north.
    """
    coarse = np.full((1, 1), int(ground), dtype=np.int32)
    east, north = slope
    heights = np.array([[0, east], [north, east + north]], dtype=np.float32)
    return _finished(_grid((0.0, 0.0), 1.0, coarse, _NO_EDGES, ground, firmness, heights, 1.0), firmness)


def strip(width: float, length: float) -> GroundMap:
    """Return a fairway `width` by `length` [m] north from the origin, with endless rough around it."""
    cells = int(np.ceil(width / CELL))
    cell = width / cells
    coarse = np.full((int(np.ceil(length / cell)), cells), int(Ground.FAIRWAY), dtype=np.int32)
    level = np.zeros((2, 2), dtype=np.float32)
    grid = _grid((-width / 2, 0.0), cell, coarse, _NO_EDGES, Ground.ROUGH, "medium", level, 1.0)
    return _finished(grid, "medium")


_NO_EDGES: Final = np.zeros((1, kernel.FINE, kernel.FINE), dtype=np.uint8)
