"""Draws of a posterior: they fill its tails, too, and tell how far they are."""

import numpy as np
import pytest

from holesim.common.posterior_sampling import Floats, sample_posterior


def far(x: Floats) -> Floats:
    """Return a log likelihood that is reached in several steps."""
    return np.asarray(-200.0 * ((x[:, 0] ** 2 - 1) ** 2 + (x[:, 1] - x[:, 0]) ** 2))


def test_progress_rises_to_the_whole_and_changes_no_draw() -> None:
    heard: list[float] = []
    with_news = sample_posterior(far, 2, draws=256, rng=np.random.default_rng(3), progress=heard.append)
    without = sample_posterior(far, 2, draws=256, rng=np.random.default_rng(3))
    assert np.array_equal(with_news, without)
    assert heard == sorted(heard)
    assert len(heard) > 1
    assert heard[-1] == 1.0


def crescent(x: Floats) -> Floats:
    """Return a log likelihood of twelve numbers; the second has a best, on either side of which it falls."""
    far = x[:, 0] + 1.5 * x[:, 1] - 0.8 * x[:, 1] ** 2
    others = (x[:, 2:] - 0.5 * x[:, 1:2]).sum(axis=1)
    return np.asarray(-((far - 0.3) ** 2) / (2 * 0.15**2) - others**2 / 2)


def test_draws_are_as_wide_as_a_posterior_that_bends() -> None:
    """By sums over a grid; the ten other numbers, of which their sum alone is known, are integrated out."""
    grid = np.linspace(-5, 5, 801)
    first, second = np.meshgrid(grid, grid, indexing="ij")
    far = first + 1.5 * second - 0.8 * second**2
    log_density = -((far - 0.3) ** 2) / (2 * 0.15**2) - (first**2 + second**2) / 2 - (5 * second) ** 2 / 22
    weights = np.exp(log_density - log_density.max())
    weights /= weights.sum()
    means = np.array([(weights * values).sum() for values in (first, second)])
    squares = np.array([(weights * values**2).sum() for values in (first, second)])
    sd = np.sqrt(squares - means**2)
    draws = np.array(
        [sample_posterior(crescent, 12, rng=np.random.default_rng(seed))[:, :2] for seed in range(4)]
    )
    assert draws.mean(axis=(0, 1)) == pytest.approx(means, abs=0.05 * sd.min())
    # By moves that a normal distribution would allow they were 0.94 and 0.88 times as wide.
    assert draws.std(axis=1).mean(axis=0) == pytest.approx(sd, rel=0.04)
