"""What is at (x, y): the course's outlines painted once on a grid, so that a look-up costs nothing."""

from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.ndimage import distance_transform_cdt
from shapely.geometry import MultiPolygon, Polygon

from holesim import _ground_kernel as kernel
from holesim._math_kernel import singles
from holesim.course import Course, Ground
from holesim.threads import share_out

Floats = NDArray[np.float64]

CELL: Final = 1.0  # m; the fine cells at edges are a sixteenth of it, so an edge is true to 5 cm
MARGIN: Final = 60.0  # m of ground beyond the outermost outline
_BANDS: Final = 8  # that threads paint apart
LARGEST: Final = 40_000_000  # coarse cells; a larger site gets larger cells


@dataclass(frozen=True)
class GroundMap:
    """The ground of a course; `grid` is what the compiled kernels read."""

    grid: kernel.Grid

    def at(self, x: Floats, y: Floats) -> NDArray[np.int64]:
        """Return the `Ground` code at each point [m]."""
        out = np.empty(len(x), dtype=np.int64)
        kernel.look_up_all(np.ascontiguousarray(x), np.ascontiguousarray(y), self.grid, out)
        return out


def map_ground(course: Course, *, unmapped: Literal["rough", "heavy"] | None = None) -> GroundMap:
    """Paint a course.

    Parameters
    ----------
    unmapped
        What lies inside the boundary and in no outline: by default rough where the course draws none,
        heavy rough where it does.
    """
    bare = (
        Ground.ROUGH
        if unmapped == "rough" or (unmapped is None and not course.maps_rough)
        else Ground.HEAVY_ROUGH
    )
    shapes: list[tuple[int, Polygon | MultiPolygon]] = [
        (int(area.ground), area.outline) for area in sorted(course.areas, key=lambda area: -area.ground)
    ]
    everything = [shape for _, shape in shapes] + [hole.line for hole in course.holes]
    if course.boundary is not None:
        everything.append(course.boundary)
    left, bottom, right, top = shapely.total_bounds(everything)
    # Without a boundary there is no edge to cross, so the ground goes on as far as a ball may.
    margin = MARGIN if course.boundary is not None else 5 * MARGIN
    # Whole metres, so that single precision holds them.
    x0, y0 = np.floor(left - margin), np.floor(bottom - margin)
    width, height = right + margin - x0, top + margin - y0
    cell = float(np.float32(max(CELL, np.sqrt(width * height / LARGEST))))
    if course.boundary is not None:
        # Out of bounds comes before all else, so what lies beyond the boundary is painted last.
        beyond = shapely.box(x0 - 1, y0 - 1, x0 + width + 2 * cell, y0 + height + 2 * cell).difference(
            course.boundary
        )
        shapes.append((int(Ground.OUT), beyond))
    size = int(np.ceil(height / cell)), int(np.ceil(width / cell))
    edge = np.zeros(size, dtype=np.bool_)
    outlines = _outlines(shapes)
    kernel.mark_edges(outlines, x0, y0, cell, edge)
    coarse = np.full(size, int(bare), dtype=np.int32)
    edge_rows = np.concatenate([[0], np.cumsum(edge.sum(axis=1))])
    edge_columns = np.nonzero(edge)[1]
    coarse[edge] = -1 - np.arange(len(edge_columns), dtype=np.int32)
    fine = np.full((max(len(edge_columns), 1), kernel.FINE, kernel.FINE), int(bare), dtype=np.uint8)
    outside = int(Ground.OUT if course.boundary is not None else bare)
    grid = _grid(x0, y0, cell, coarse, fine, outside)

    def band(i: int) -> None:
        low, high = i * size[0] // _BANDS, (i + 1) * size[0] // _BANDS
        kernel.paint(outlines, grid, edge_columns, edge_rows, low, high)

    share_out(band, _BANDS)
    return _finished(grid)


def _grid(
    x0: float, y0: float, cell: float, coarse: NDArray[np.int32], fine: NDArray[np.uint8], outside: int
) -> kernel.Grid:
    left, bottom, metres, per_metre = singles(x0, y0, cell, 1 / cell)
    quarters = np.empty(coarse.shape, dtype=np.uint32)
    return kernel.Grid(left, bottom, metres, per_metre, coarse, fine, quarters, outside)


def _finished(grid: kernel.Grid) -> GroundMap:
    """Add to each cell without outlines how many around it, on every side, have none either; and sum up."""
    inside = np.pad(grid.coarse >= 0, 1)  # the edge of the map is an edge
    cells = distance_transform_cdt(inside, "chessboard")[1:-1, 1:-1]
    grid.coarse[:] += kernel.CODES * np.maximum(cells - 1, 0)
    kernel.quarter(grid)
    return GroundMap(grid)


def _outlines(shapes: list[tuple[int, Polygon | MultiPolygon]]) -> kernel.Outlines:
    grounds, outlines = zip(*shapes, strict=True)
    rings, shape = shapely.get_rings(outlines, return_index=True)
    x, y = shapely.get_coordinates(rings).T
    starts = np.append(0, np.cumsum(shapely.get_num_points(rings)))
    first = np.searchsorted(shape, np.arange(len(shapes) + 1))
    low, high = (reduce.reduceat(y, starts[first[:-1]]) for reduce in (np.minimum, np.maximum))
    return kernel.Outlines(
        np.ascontiguousarray(x), np.ascontiguousarray(y), starts, first, low, high, np.array(grounds)
    )


def plain(ground: Ground) -> GroundMap:
    """Return endless ground of one kind, such as a practice ground."""
    coarse = np.full((1, 1), int(ground), dtype=np.int32)
    fine = np.zeros((1, kernel.FINE, kernel.FINE), dtype=np.uint8)
    return _finished(_grid(0.0, 0.0, 1.0, coarse, fine, int(ground)))


def strip(width: float, length: float) -> GroundMap:
    """Return a fairway `width` by `length` [m] north from the origin, with endless rough around it."""
    cells = int(np.ceil(width / CELL))
    cell = width / cells
    coarse = np.full((int(np.ceil(length / cell)), cells), int(Ground.FAIRWAY), dtype=np.int32)
    fine = np.zeros((1, kernel.FINE, kernel.FINE), dtype=np.uint8)
    return _finished(_grid(-width / 2, 0.0, cell, coarse, fine, int(Ground.ROUGH)))
