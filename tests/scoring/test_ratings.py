"""Ratings by length, and whether the ratings of the team files fit the tees' lengths."""

import pytest

from holesim.course.course import Course
from holesim.course.holes import Sex
from holesim.data.examples import COURSE, find
from holesim.scoring.ratings import add_obstacles, rate_length, rating_range
from holesim.team.team_file import load_team
from holesim.units import YARD

# Restated: yards a stroke and strokes at no length, of scratch and bogey golfers, and the slope's factor.
FORMULAS: dict[Sex, tuple[tuple[float, float], tuple[float, float], float]] = {
    "man": ((220, 40.9), (160, 50.7), 5.381),
    "woman": ((180, 40.1), (120, 51.3), 4.24),
}
# Strokes that obstacles may add for a scratch and for a bogey golfer, from few to many: our assumption.
FEW, MANY = (-1.1, -2.4), (2.8, 6.7)


@pytest.mark.parametrize(
    ("sex", "yards", "course", "slope"),
    [
        ("man", 6600, 70.9, 113),
        ("man", 6879, 72.2, 116),
        ("woman", 5600, 71.2, 113),
        ("woman", 6397, 75.6, 123),
    ],
)
def test_length_alone_gives_a_rating(sex: Sex, yards: float, course: float, slope: float) -> None:
    """113 is a course of standard difficulty, which the anchors' lengths are."""
    rated = rate_length(yards, sex)
    assert rated.scratch == pytest.approx(course, abs=0.05)
    assert rated.slope == pytest.approx(slope, abs=0.5)


def test_obstacles_add_more_for_the_bogey_golfer() -> None:
    bare = rate_length(6600, "man")
    easy, hard = (add_obstacles(bare, points) for points in (44.5, 60.0))
    assert easy.scratch == pytest.approx(bare.scratch, abs=0.01)
    assert easy.bogey == pytest.approx(bare.bogey, abs=0.1)
    assert hard.bogey - bare.bogey > 2 * (hard.scratch - bare.scratch) > 0


def test_the_teams_ratings_fit_the_lengths_of_their_tees(demo_course: Course) -> None:
    for file in sorted((find(COURSE).parent / "teams").glob("*.toml")):
        team = load_team(file)
        for sex, (scratch, bogey, factor) in FORMULAS.items():
            tee = team.tees[sex]
            rated = team.rating(tee, sex)
            assert rated is not None
            yards = sum(t.length for hole in demo_course.holes for t in hole.tees if t.name == tee) / YARD
            lows_highs = [
                (yards / per + base + few, yards / per + base + many)
                for (per, base), few, many in zip((scratch, bogey), FEW, MANY, strict=True)
            ]
            stated = rated.course, rated.course + rated.slope / factor
            for value, (low, high) in zip(stated, lows_highs, strict=True):
                assert low <= value <= high, (file.name, sex, tee)
            assert rating_range(yards, sex).holds(rated.course, rated.slope)


@pytest.mark.parametrize(("course", "slope"), [(74.1, 128), (79.0, 128), (76.3, 110), (76.3, 145)])
def test_a_rating_that_obstacles_cannot_explain_is_out_of_range(course: float, slope: float) -> None:
    """By 6,397 yd alone women's tees rate 75.6 with a slope of 123."""
    assert not rating_range(6397, "woman").holds(course, slope)
    assert rating_range(6397, "woman").holds(76.3, 135)
