"""Density of points: the outlines that hold a share of them."""

import numpy as np
import pytest

from holesim.common.density import densest


def test_outlines_hold_the_share_they_say() -> None:
    points = np.random.default_rng(2).normal(size=(4096, 2)) * (15, 8)
    across, along, density, levels = densest(points, (0.5, 0.9))
    # Against the ellipses of a bivariate normal: a share p lies inside r² = -2·ln(1 - p).
    for share, level in zip((0.5, 0.9), levels, strict=True):
        area = (density > level).sum() * (across[1] - across[0]) * (along[1] - along[0])
        assert area == pytest.approx(np.pi * 15 * 8 * -2 * np.log(1 - share), rel=0.12)
