"""Density of points on a plane, and outlines that contain a share of them."""

from collections.abc import Sequence
from itertools import pairwise
from typing import Final

import numpy as np
from contourpy import contour_generator
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter
from shapely.geometry import MultiPolygon, Polygon

Floats = NDArray[np.float64]

SHARES: Final = (0.5, 0.9)
"""Shares of the drives that finish within the outlines."""


def densest(points: Floats, shares: Sequence[float]) -> tuple[Floats, Floats, Floats, list[float]]:
    """Return a smoothed density on a grid, and for each share the level that so many points exceed.

    Parameters
    ----------
    points
        Shape (points, 2) [m].

    Returns
    -------
    Middles of the grid's columns and of its rows [m], density of shape (rows, columns), levels.
    """
    low, high = np.quantile(points, (0.25, 0.75), axis=0)
    smooth = np.maximum((high - low) / 1.349 * len(points) ** (-1 / 6), 1.0)  # Scott's rule, from quartiles
    low, high, step = points.min(axis=0) - 5 * smooth, points.max(axis=0) + 5 * smooth, smooth / 3
    across, along = (np.arange(a, b + c, c) for a, b, c in zip(low, high, step, strict=True))
    density = gaussian_filter(np.histogram2d(points[:, 0], points[:, 1], bins=[across, along])[0], 3.0)
    i, j = ((points - low) // step).astype(int).T
    levels = [float(np.quantile(density[i, j], 1 - share)) for share in shares]
    return across[:-1] + step[0] / 2, along[:-1] + step[1] / 2, density.T, levels


def outlines(points: Floats, shares: Sequence[float]) -> list[MultiPolygon]:
    """Return the smallest area that contains each share of `points`, shape (points, 2) [m]."""
    across, along, density, levels = densest(points, shares)
    drawn = contour_generator(across, along, density, fill_type="OuterOffset")
    return [
        MultiPolygon(
            [
                Polygon(rings[0], rings[1:])
                for corners, ends in zip(*drawn.filled(level, np.inf), strict=True)
                for rings in [[corners[a:b] for a, b in pairwise(ends)]]
            ]
        )
        for level in levels
    ]
