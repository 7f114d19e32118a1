"""The picture of measured drives: every drive, where it was measured to come down, strike by strike."""

import re
from dataclasses import replace
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from matplotlib.text import Text
from numpy.typing import NDArray

from holesim.data.examples import PLAYER, find
from holesim.measure.drives_table import DrivesTable
from holesim.measure.measure import MeasuredPlayer, fit_player
from holesim.pictures.measure_picture import (
    draw_measured_drives,
    find_landings,
    simulate_landings,
)
from holesim.player.make_player import with_strikes
from holesim.player.player import Player, StrikeName
from holesim.player.player_file import read_player
from holesim.units import DEGREE, MPH, RPM, YARD
from tests.conftest import Run


def found_of(**values: NDArray[np.float64]) -> MeasuredPlayer:
    drives = len(next(iter(values.values())))
    names: tuple[StrikeName, StrikeName] = ("up", "down")
    strikes = tuple(name for name in names for _ in range(drives // 2))
    measured = DrivesTable.of_one_session(values, strikes, np.arange(2, drives + 2), "course", "range.csv")
    return fit_player(measured, read_player(find(PLAYER))[0], seed=1)


@pytest.fixture(scope="module")
def both() -> MeasuredPlayer:
    rng = np.random.default_rng(1)
    return found_of(
        carry=(245 + 8 * rng.standard_normal(16)) * YARD, offline=4 * DEGREE * rng.standard_normal(16)
    )


def fitted(found: MeasuredPlayer) -> Player:
    return with_strikes(read_player(find(PLAYER))[0], found.names)


def test_every_drive_stands_where_it_was_measured(both: MeasuredPlayer) -> None:
    figure = draw_measured_drives(both, fitted(both))
    assert len(figure.axes) == 2
    carry, side = both.drives.values["carry"] / YARD, both.drives.values["offline"]
    seen = np.concatenate(
        [
            np.column_stack(line.get_data())
            for ax in figure.axes
            for line in ax.lines
            if line.get_marker() != "None"
        ]
    )
    expected = np.column_stack([carry * np.sin(side), carry * np.cos(side)])
    assert np.sort(seen, axis=0) == pytest.approx(np.sort(expected, axis=0))
    assert [ax.get_title(loc="left").partition(":")[0] for ax in figure.axes] == list(both.names)
    metric = draw_measured_drives(both, fitted(both), metric=True)
    assert metric.axes[0].get_ylabel() == "carry, m"


def test_words_neither_overlap_nor_are_cut(both: MeasuredPlayer) -> None:
    figure = draw_measured_drives(both, fitted(both))
    figure.savefig(BytesIO())
    written = [text for text in figure.findobj(Text) if text.get_visible() and text.get_text()]
    # Ticks beyond an axis' limits are not drawn, but have boxes.
    width, height = figure.canvas.get_width_height()
    labels = [
        text.get_window_extent()
        for text in written
        if not re.fullmatch("[0-9\N{MINUS SIGN}]+", text.get_text())
    ]
    assert len(labels) > 5
    assert not any(a.overlaps(b) for i, a in enumerate(labels) for b in labels[:i])
    assert all(box.x0 >= -1 and box.x1 <= width + 1 for box in labels)
    assert all(box.y0 >= -1 and box.y1 <= height + 1 for box in labels)


def test_without_a_carry_the_ball_is_flown(both: MeasuredPlayer) -> None:
    """The men's tour average (radar, widely reproduced, from memory) carries 275 yd."""
    ball = {
        "ball_speed": 167 * MPH, "launch_angle": 10.9 * DEGREE, "start_direction": 0.0, "spin": 2686 * RPM,
        "axis_tilt": 0.0,
    }  # fmt: skip
    values = {name: np.full(16, value) for name, value in ball.items()}
    drives = DrivesTable.of_one_session(values, both.drives.strikes, both.drives.lines, "course", "range.csv")
    seen = find_landings(replace(both, drives=drives), np.full(16, 1.0))
    assert seen.along / YARD == pytest.approx(275, rel=0.02)
    assert seen.across == pytest.approx(0, abs=1e-6)


def test_outlines_are_of_drives_as_long_as_the_player_hits_them(amateur: Player) -> None:
    up, down = (simulate_landings(amateur.driver(name), 1.0) for name in ("up", "down"))
    assert np.median(up[:, 1]) > np.median(down[:, 1])
    assert np.std(up[:, 0]) > np.std(down[:, 0])


def test_the_command_writes_the_picture_beside_the_player(run: Run, tmp_path: Path) -> None:
    rows = "\n".join(f"{100 + k % 3},{-2 + k % 5}" for k in range(12))
    shots = tmp_path / "range.csv"
    shots.write_text(f"club_speed_mph,start_direction_deg\n{rows}\n")
    out = tmp_path / "made" / "player.toml"
    words = ["measure", str(shots), "--like", str(find(PLAYER)), "--balls", "range", "--out", str(out)]
    code, _, heard = run(*words)
    assert code == 0, heard
    assert {path.name for path in out.parent.iterdir()} == {"player.toml", "player.png"}
