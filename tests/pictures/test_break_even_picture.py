"""The picture of break-even points: every other strike, every band."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from holesim.course.course import Course
from holesim.pictures.break_even_picture import draw_break_even, save_break_even
from holesim.player.player import Player
from tests.files.command_outcomes import is_whole
from tests.study.losses import SPEEDS, by_club_speed


def test_the_picture_shows_each_other_strike_and_each_band(demo_course: Course, amateur: Player) -> None:
    found = by_club_speed(0.0025 * (SPEEDS - 100), demo_course, amateur)
    (curve,) = found.curves
    (band,) = curve.bands
    assert band.low is not None
    assert band.high is not None
    ax = draw_break_even(found, curve)
    (diamond,) = [line for line in ax.lines if line.get_marker() == "D"]
    assert float(np.ravel(diamond.get_xdata())[0]) == band.at
    (shade,) = ax.patches
    edges = shade.get_extents().transformed(ax.transData.inverted())
    assert (edges.x0, edges.x1) == pytest.approx((band.low, band.high))
    assert ax.get_legend_handles_labels()[1] == ["down"]
    assert ax.get_xlabel() == "club speed, mph"
    assert draw_break_even(found, curve, metric=True).get_xlabel() == "club speed, m/s"


def test_a_name_in_the_language_of_formulas_is_a_title(
    demo_course: Course, amateur: Player, tmp_path: Path
) -> None:
    found = by_club_speed(
        0.0025 * (SPEEDS - 100), demo_course, replace(amateur, name=r"$\frac{1}{0}$ $^_{}$")
    )
    save_break_even(found, tmp_path)
    assert is_whole(tmp_path / "tipping.png")
