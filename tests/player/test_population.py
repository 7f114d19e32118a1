"""The population: how attacks called up, level and down are distributed."""

import numpy as np
import pytest
from scipy.stats import truncnorm

from holesim.player.player import ATTACK_BOUNDS_DEG
from holesim.player.population import attack_at, attack_sd
from holesim.units import DEGREE

MEAN, SD = 0.5, 2.4
"""Of all golfers' attacks [deg]: see `population` for the sources."""


@pytest.mark.parametrize(
    ("name", "bounds", "mean"),
    [("up", (2.0, 15.0), 3.5), ("level", (-1.0, 2.0), 0.5), ("down", (-15.0, -1.0), -2.5)],
)
def test_attacks_are_a_normal_distribution_cut_at_their_bounds(
    name: str, bounds: tuple[float, float], mean: float
) -> None:
    assert ATTACK_BOUNDS_DEG[name] == bounds
    low, high = bounds
    law = truncnorm((low - MEAN) / SD, (high - MEAN) / SD, loc=MEAN, scale=SD)
    # The mean of a strike is its default in a player file.
    assert law.mean() == pytest.approx(mean, abs=0.05)
    chances = (np.arange(2000) + 0.5) / 2000
    attacks = np.array([attack_at(c, low * DEGREE, high * DEGREE) for c in chances]) / DEGREE
    np.testing.assert_allclose(attacks, law.ppf(chances), rtol=1e-9)
    assert attacks.mean() == pytest.approx(mean, abs=0.05)
    assert low < attacks.min() < attacks.max() < high
    assert attack_sd(low * DEGREE, high * DEGREE) / DEGREE == pytest.approx(law.std())
    assert attacks.std() == pytest.approx(law.std(), rel=0.01)
