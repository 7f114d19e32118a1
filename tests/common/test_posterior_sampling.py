"""Draws of a posterior: what is heard of their progress."""

import numpy as np

from holesim.common.posterior_sampling import Floats, sample_posterior


def far(x: Floats) -> Floats:
    """Return a log likelihood that is reached in several steps."""
    return np.asarray(-200.0 * ((x[:, 0] ** 2 - 1) ** 2 + (x[:, 1] - x[:, 0]) ** 2))


def test_progress_rises_to_the_whole_and_changes_no_draw() -> None:
    heard: list[float] = []
    with_news = sample_posterior(
        far, np.zeros(2), draws=256, rng=np.random.default_rng(3), progress=heard.append
    )
    without = sample_posterior(far, np.zeros(2), draws=256, rng=np.random.default_rng(3))
    assert np.array_equal(with_news, without)
    assert heard == sorted(heard)
    assert len(heard) > 1
    assert heard[-1] == 1.0
