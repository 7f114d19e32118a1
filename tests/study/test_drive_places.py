"""Where a drive finished on a plan's map: distance, side, place and lie."""

from types import SimpleNamespace
from typing import cast

import pytest

from holesim.course.course import Ground
from holesim.errors import InputError
from holesim.plan.plan_tables import HoleFile, StrikeFile, TeeFile
from holesim.shot.relief import FINISH_BY_LIE, LIE_BY_GROUND, Finish
from holesim.study.drive_places import _LIES, find_lie, find_place, measure_place
from holesim.study.round_file import FINISHES

TEE = cast("TeeFile", SimpleNamespace(middle=[10.0, -20.0]))
STRIKE = cast("StrikeFile", SimpleNamespace(heading_deg=30.0))
HOLE = HoleFile(
    hole=1,
    par=4,
    stroke_index=None,
    pin=[0.0, 300.0],
    line=[[0.0, 0.0], [0.0, 300.0]],
    bare="rough",
    window=[[[-100.0, -50.0], [100.0, -50.0], [100.0, 400.0], [-100.0, 400.0], [-100.0, -50.0]]],
    ground={
        "red": [[[[-10.0, 190.0], [10.0, 190.0], [10.0, 210.0], [-10.0, 210.0], [-10.0, 190.0]]]],
        "fairway": [
            [
                [[-30.0, 100.0], [30.0, 100.0], [30.0, 300.0], [-30.0, 300.0], [-30.0, 100.0]],
                [[-5.0, 250.0], [5.0, 250.0], [5.0, 260.0], [-5.0, 260.0], [-5.0, 250.0]],
            ]
        ],
    },
)


@pytest.mark.parametrize(("total", "side"), [(250.0, 31.0), (250.0, -31.0), (0.0, 0.0), (120.0, 119.0)])
def test_a_place_and_its_distance_and_side_are_one(total: float, side: float) -> None:
    x, y = find_place(TEE, STRIKE, total, side)
    assert measure_place(TEE, STRIKE, x, y) == pytest.approx((total, side), abs=1e-9)


def test_right_of_an_aim_to_the_north_east_lies_south_east() -> None:
    straight, right = find_place(TEE, STRIKE, 200, 0), find_place(TEE, STRIKE, 200, 50)
    assert right[0] > straight[0]
    assert right[1] < straight[1]


def test_farther_to_the_side_than_it_went_is_refused() -> None:
    with pytest.raises(InputError, match="31 yards to the side are more than the 30 yards"):
        find_place(TEE, STRIKE, 30, -31)


@pytest.mark.parametrize(
    ("place", "lie"),
    [
        ((0, 150), "fairway"),
        ((0, 200), "penalty"),  # the stream is on top of the fairway
        ((0, 255), "rough"),  # a hole in the fairway
        ((50, 150), "rough"),
        ((150, 150), None),
    ],
)
def test_the_lie_is_that_of_the_ground_on_top(place: tuple[float, float], lie: str | None) -> None:
    assert find_lie(HOLE, *place) == lie


def test_each_kind_of_ground_counts_as_in_relief() -> None:
    for ground in Ground:
        code = int(LIE_BY_GROUND[ground])
        finish = Finish.PENALTY if code < 0 else Finish(FINISH_BY_LIE[code])
        expected = "out" if ground is Ground.OUT else finish.name.lower()
        assert _LIES[ground.name.lower()] == expected
        assert expected in FINISHES
