"""The picture of a round: every forecast, every drive."""

import numpy as np
import pytest

from holesim.pictures.review_picture import draw_calibration, draw_probabilities
from holesim.study.review import Review
from holesim.study.round_file import RoundFile


@pytest.fixture
def review() -> Review:
    """A review of ninety drives, of which the plan said what came true."""
    rng = np.random.default_rng(6)
    chances = {name: rng.random(90) for name in ("fairway or green", "penalty area or out", "par or better")}
    return Review(
        course="a course",
        player="a golfer",
        inputs={},
        played=RoundFile(()),
        counts=(),
        scores=(),
        probabilities={"total": rng.random(90), "side": rng.random(40)},
        evenness={},
        forecasts={name: (p, rng.random(90) < p) for name, p in chances.items()},
        differences=(),
        times_to_tell=None,
    )


def test_every_forecast_is_drawn(review: Review) -> None:
    ax = draw_calibration(review)
    assert ax.get_legend_handles_labels()[1] == ["fairway or green", "penalty area or out", "par or better"]
    # Groups of a right plan lie about the diagonal.
    for container in ax.containers:
        points = np.array(container[0].get_data())
        assert points.shape == (2, 6)
        assert np.abs(points[1] - points[0]).max() < 0.45


@pytest.mark.parametrize(("what", "bars"), [("total", 10), ("side", 5)])
def test_every_drive_is_in_a_bar(review: Review, what: str, bars: int) -> None:
    heights = [patch.get_height() for patch in draw_probabilities(review, what).patches[1:]]  # type: ignore[attr-defined]
    assert len(heights) == bars
    assert sum(heights) == len(review.probabilities[what])
