"""The picture of a round: every drive, every count, and the sentences of the text."""

from pathlib import Path

import numpy as np
import pytest

from holesim.pictures.review_picture import draw_counts, draw_offsets, save_review
from holesim.study.forecasts import EventCount
from holesim.study.lesson import Interval, Lesson
from holesim.study.review import Review
from holesim.study.round_file import RoundFile


@pytest.fixture
def lesson() -> Lesson:
    """What ninety drives tell that finish ten yards right on average."""
    rng = np.random.default_rng(6)
    return Lesson(
        offsets=rng.normal(10, 20, 90),
        planned=np.array([-40.0, -13.0, 0.0, 13.0, 40.0]),
        probabilities=np.array([0.025, 0.25, 0.5, 0.75, 0.975]),
        bias=Interval(10.0, 6.0, 14.0),
        bias_se=2.0,
        spread=Interval(1.0, 0.9, 1.2),
    )


@pytest.fixture
def review(lesson: Lesson) -> Review:
    """A review of few lengths and many sides."""
    count = EventCount(name="rough", drives=90, observed=30, expected=25.0, low=17, high=33, chance=0.3)
    return Review(
        course="a course",
        player="a golfer",
        inputs={},
        played=RoundFile(()),
        lessons={"side": lesson, "total": None},
        counts=(count,),
        scores=(),
        probabilities={},
        evenness={},
        luck=None,
        differences=(),
        times_to_tell=None,
    )


@pytest.mark.parametrize(("metric", "scale"), [(False, 1.0), (True, 0.9144)])
def test_every_drive_is_in_a_bar_and_the_mean_above(lesson: Lesson, metric: bool, scale: float) -> None:  # noqa: FBT001
    ax = draw_offsets(lesson, "side", metric=metric)
    bars = ax.containers[0].patches  # type: ignore[attr-defined]
    assert sum(bar.get_height() for bar in bars) == 90
    right = sum(bar.get_height() for bar in bars if bar.get_x() + bar.get_width() / 2 > 1)
    left = sum(bar.get_height() for bar in bars if bar.get_x() + bar.get_width() / 2 < -1)
    assert right > left
    mean = ax.containers[1].lines[0]  # type: ignore[attr-defined]
    assert mean.get_xdata()[0] == pytest.approx(10 * scale)
    assert ("metres" in ax.get_xlabel()) == metric


def test_every_count_is_beside_the_planned_one(review: Review) -> None:
    planned, played = draw_counts(review).lines
    assert list(planned.get_xdata()) == [25.0]  # type: ignore[arg-type]
    assert list(played.get_xdata()) == [30]  # type: ignore[arg-type]


def test_the_picture_is_made_where_lengths_are_few(review: Review, tmp_path: Path) -> None:
    save_review(review, tmp_path)
    assert (tmp_path / "review.png").stat().st_size > 10_000
