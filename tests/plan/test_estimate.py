"""Estimates: intervals that cover, chances that hold, and noise told from what is true."""

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import stats

from holesim.plan.estimate import Estimate, estimate, sure_text, sureness

Floats = NDArray[np.float64]

DRAWS, REPLICATES = 32, 2


def golfers(rng: np.random.Generator, between: float, noise: float, mean: float = 0.0) -> Floats:
    """Return the gain of each draw of the golfer by each replicate."""
    true = mean + between * rng.standard_normal((DRAWS, 1))
    return np.asarray(true + noise * rng.standard_normal((DRAWS, REPLICATES)))


@pytest.mark.parametrize(("between", "noise"), [(0.3, 0.02), (0.2, 0.1), (0.1, 0.1), (0.1, 0.14)])
def test_the_interval_covers_the_true_golfer_nineteen_times_in_twenty(between: float, noise: float) -> None:
    """The true golfer is one more draw from the same distribution."""
    rng = np.random.default_rng(1)
    held = []
    for _ in range(4000):
        low, high = estimate(golfers(rng, between, noise, 0.05)).interval
        held.append(low <= 0.05 + between * rng.standard_normal() <= high)
    assert 0.93 <= np.mean(held) <= 0.97


@pytest.mark.parametrize("between", [0.3, 0.1])
def test_a_chance_is_as_often_right_as_it_says(between: float) -> None:
    """The mean of the golfers is drawn, too."""
    rng = np.random.default_rng(2)
    said, saves = [], []
    for _ in range(12_000):
        mean = 0.3 * rng.standard_normal()
        said.append(estimate(golfers(rng, between, 0.05, mean)).chance_below)
        saves.append(mean + between * rng.standard_normal() < 0)
    chance, right = np.array(said), np.array(saves)
    for low in np.arange(0, 1, 0.1):
        some = (chance >= low) & (chance < low + 0.1)
        error = 3 * np.sqrt(0.25 / some.sum())
        assert right[some].mean() == pytest.approx(chance[some].mean(), abs=0.02 + error)


def test_noise_alone_is_known_for_sure_as_drives_are_many() -> None:
    """Golfers are alike, so only the error of the mean over all drives is left."""
    rng = np.random.default_rng(3)
    found = [estimate(golfers(rng, 0.0, 0.1)) for _ in range(2000)]
    error = 0.1 / np.sqrt(DRAWS * REPLICATES)
    assert np.mean([e.sampling**2 for e in found]) == pytest.approx(error**2, rel=0.02)
    assert np.std([e.mean for e in found]) == pytest.approx(error, rel=0.05)
    # An estimated variance is never negative, so now and then golfers seem to differ.
    assert np.median([e.se for e in found]) < 2 * error
    assert np.mean([e.interval[0] <= 0 <= e.interval[1] for e in found]) >= 0.93


def test_the_noise_is_taken_out_of_what_golfers_differ_in() -> None:
    rng = np.random.default_rng(4)
    found = [estimate(golfers(rng, 0.2, 0.3, 1.0)) for _ in range(4000)]
    assert np.mean([e.draws.var(ddof=1) for e in found]) == pytest.approx(0.2**2, rel=0.05)
    assert all(e.draws.mean() == pytest.approx(e.mean) for e in found[:20])


def test_a_constant_is_certain() -> None:
    for value, chance in ((-0.5, 1.0), (0.5, 0.0), (0.0, 0.5)):
        found = estimate(np.full((DRAWS, REPLICATES), value))
        assert (found.mean, found.se, found.chance_below) == (value, 0.0, chance)
        assert found.interval == (value, value)


def test_half_widths_and_chances_are_students() -> None:
    found = Estimate(mean=-0.1, sampling=0.05, se=0.2, freedom=9.5, draws=np.zeros(DRAWS))
    low, high = stats.t.interval(0.95, 9.5, -0.1, 0.2)
    assert found.interval == pytest.approx((low, high))
    assert found.sampling_half == pytest.approx(0.05 * stats.t.ppf(0.975, DRAWS - 1))
    assert found.chance_below == pytest.approx(stats.t.cdf(0.5, 9.5))


@pytest.mark.parametrize(
    ("chance", "words", "text"),
    [
        (0.5, "a toss-up", "a toss-up, 50 in 100"),
        (0.79, "a toss-up", "a toss-up, 79 in 100"),
        (0.8, "likely", "likely, 80 in 100"),
        (0.86, "likely", "likely, 86 in 100"),
        (0.95, "nearly sure", "nearly sure, 95 in 100"),
        (0.998, "nearly sure", "nearly sure, over 99 in 100"),
    ],
)
def test_how_sure_in_words(chance: float, words: str, text: str) -> None:
    assert sureness(chance) == words
    assert sure_text(chance) == text


def test_an_estimate_of_ten_draws_by_hand() -> None:
    """Draws of 0 and 2 in turn, each by two replicates 0.5 below and above it.

    Among draws the variance is 10/9, of which the noise is 0.5² x 2 / 2 = 0.25, so 0.861 are the golfers'.
    That of the true golfer about the mean is 0.861 + 10/9/10 = 0.972. It has 5.49 degrees of freedom, by
    Satterthwaite 0.972² / (1.222² / 9 + 0.25² / 10).
    """
    each = np.array([0.0, 2.0] * 5)
    found = estimate(each[:, None] + np.array([-0.5, 0.5]))
    assert (found.mean, found.sampling) == pytest.approx((1.0, np.sqrt(0.25 / 10)))
    assert found.se == pytest.approx(np.sqrt(10 / 9 - 0.25 + 1 / 9))
    assert found.freedom == pytest.approx(5.49, abs=0.005)
    assert found.draws == pytest.approx(1 + (each - 1) * np.sqrt(1 - 0.225))
    assert found.chance_below == pytest.approx(float(stats.t.cdf(-1 / found.se, 5.488)), abs=1e-3)
    half = found.se * float(stats.t.ppf(0.975, 5.488))
    assert found.interval == pytest.approx((1 - half, 1 + half), abs=1e-2)
    assert found.sampling_half == pytest.approx(found.sampling * float(stats.t.ppf(0.975, 9)))
