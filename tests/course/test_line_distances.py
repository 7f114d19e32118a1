"""Distances on a hole with two bends, worked by hand: straight from the tee to the middle of the hole."""

from math import hypot

import pytest
from shapely.geometry import LineString, box

from holesim.course.line_distances import LineFromTee, near_and_far

BENT = LineString([(0, 0), (0, 200), (100, 300), (300, 300)])
"""North for 200 m, north-east to (100, 300), and east to the pin."""


def spot(x: float, y: float, tee: tuple[float, float] = (0.0, 0.0), line: LineString = BENT) -> list[float]:
    """Return how far a spot of 2 mm begins and ends."""
    return list(near_and_far(line, tee, box(x - 0.001, y - 0.001, x + 0.001, y + 0.001)))


@pytest.mark.parametrize(
    ("x", "y"),
    [(0, 100), (0, 200), (50, 250), (100, 300), (200, 300), (300, 300), (400, 300), (800, 300)],
)
def test_on_the_line_and_straight_on_past_the_pin_it_is_the_straight_distance(x: float, y: float) -> None:
    """Past the pin the last leg goes on: (400, 300) is 500 m away."""
    assert spot(x, y) == pytest.approx([hypot(x, y)] * 2, abs=0.05)


def test_beside_the_line_it_is_where_the_way_to_the_middle_is_level() -> None:
    """Beside the first leg as far north as it lies; square to the way to (100, 300) as far as that."""
    assert spot(40, 150) == pytest.approx([150] * 2, abs=0.05)
    assert spot(-40, 150) == pytest.approx([150] * 2, abs=0.05)
    away = hypot(100, 300)
    right = 100 + 40 * 300 / away, 300 - 40 * 100 / away
    assert spot(*right) == pytest.approx([away] * 2, abs=0.1)


def test_from_another_tee_it_is_less_by_what_that_lies_forward() -> None:
    assert spot(0, 150, tee=(0, 40)) == pytest.approx([110] * 2, abs=0.05)
    # From 10 m beside the line the middle at (0, 200) is sqrt(10² + 200²) away.
    assert spot(0, 200, tee=(10, 0)) == pytest.approx([hypot(10, 200)] * 2, abs=0.1)


def test_a_shape_begins_at_its_nearest_and_ends_at_its_farthest_point() -> None:
    assert near_and_far(BENT, (0, 0), box(-5, 120, 60, 140)) == pytest.approx((120, 140), abs=0.01)
    # About the tee it begins at nothing.
    assert near_and_far(BENT, (0, 0), box(-5, -5, 5, 12)) == pytest.approx((0, 12), abs=0.01)
    # Behind the tee it ends there, too.
    assert near_and_far(BENT, (0, 0), box(-5, -30, 5, -10)) == (0, 0)


def test_where_a_line_comes_back_the_first_place_at_a_distance_counts() -> None:
    """North for 300 m, and back south 50 m to the right: seen from the tee all of it lies north."""
    back = LineString([(0, 0), (0, 300), (50, 300), (50, 100)])
    assert spot(50, 200, line=back) == pytest.approx([200] * 2, abs=0.05)
    seen = LineFromTee.of(back, (0.0, 0.0))
    assert (seen.distances[1:] > seen.distances[:-1]).all()
    assert seen.places[seen.distances <= 299][:, 0].tolist() == [0.0] * int((seen.distances <= 299).sum())
