"""Strikes told apart by all that was measured, whatever cell is blank; what is said where they are not."""

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from holesim.data.examples import PLAYER, find
from holesim.errors import InputError
from holesim.measure.drives_table import DrivesTable, load_drives
from holesim.measure.strikes_apart import separate_strikes
from holesim.units import DEGREE, MM, RPM
from tests.conftest import Run

Floats = NDArray[np.float64]

WORDS = ("--balls", "course", "--like", str(find(PLAYER)))


def of(values: Mapping[str, Floats]) -> DrivesTable:
    count = len(next(iter(values.values())))
    return DrivesTable.of_one_session(values, (), np.arange(2, count + 2), "course", "range.csv")


def golfer(rng: np.random.Generator, attack: Floats, loft: Floats) -> dict[str, Floats]:
    """Return drives of a golfer about an attack and a dynamic loft [deg] each."""
    count = len(attack)
    swing = attack + rng.normal(0, 1.2, count)
    loft = loft + rng.normal(0, 1.3, count)
    return {
        "attack": (swing + rng.normal(0, 0.7, count)) * DEGREE,
        "dynamic_loft": (loft + rng.normal(0, 1.0, count)) * DEGREE,
        "launch_angle": (0.85 * loft + 0.15 * swing + rng.normal(0, 0.5, count)) * DEGREE,
        "spin": (2500 + 250 * (loft - swing - 12) + rng.normal(0, 250, count)) * RPM,
        "high": (0.7 * attack + rng.normal(0, 5.5, count)) * MM,
    }


def two(rng: np.random.Generator, each: int = 20) -> dict[str, Floats]:
    up = np.repeat([True, False], each)
    return golfer(rng, np.where(up, 3.0, -2.0), np.where(up, 16.5, 13.0))


def demo() -> DrivesTable:
    return load_drives(find("range/demo.csv"), balls="course")


def right(table: DrivesTable, values: Mapping[str, Floats]) -> float:
    """Return the share of drives that are taken for the strike that the table says."""
    found = separate_strikes(replace(table, values=values, strikes=()), None)
    assert found.names == ("up", "down")
    return float(
        np.mean([found.names[s] == name for s, name in zip(found.strike_of, table.strikes, strict=True)])
    )


def test_without_an_attack_the_ball_and_the_face_tell() -> None:
    table = demo()
    assert right(table, table.values) == 1
    others = {name: values for name, values in table.values.items() if name != "attack"}
    assert right(table, others) >= 0.95
    ball = {name: table.values[name] for name in ("launch_angle", "spin")}
    assert right(table, ball) >= 0.95


def test_all_that_was_measured_tells_more_than_the_attack() -> None:
    rng, told, alone, wrong = np.random.default_rng(1), 0, 0, []
    for _ in range(60):
        values = two(rng)
        found = separate_strikes(of(values), None)
        alone += len(separate_strikes(of({"attack": values["attack"]}), None).names) == 2
        if len(found.names) == 2:
            told += 1
            wrong.append(np.mean(found.strike_of != np.repeat([0, 1], 20)))
    assert told > 1.5 * alone
    assert np.mean(wrong) < 0.05


def test_one_strike_is_hardly_ever_taken_for_two() -> None:
    rng, mistaken, without_attack = np.random.default_rng(2), 0, 0
    for _ in range(150):
        count = int(rng.integers(10, 60))
        values = golfer(rng, np.full(count, 1.0), np.full(count, 14.5))
        mistaken += bool(separate_strikes(of(values), None).told_by)
        values.pop("attack")
        without_attack += bool(separate_strikes(of(values), None).told_by)
    assert mistaken <= 2
    assert without_attack <= 6


def test_a_blank_cell_changes_nothing_for_the_others() -> None:
    table = demo()
    whole = separate_strikes(replace(table, strikes=()), None)
    for drive in range(len(table.lines)):
        attack = table.values["attack"].copy()
        attack[drive] = np.nan
        # Of the drive itself nobody can say: a mishit looks like the other strike.
        for values in ({**table.values, "attack": attack}, {"attack": attack}):
            found = separate_strikes(replace(table, values=values, strikes=()), None)
            assert np.flatnonzero(found.strike_of != whole.strike_of).tolist() == [drive]
            assert found.strike_of[drive] == -1


def test_a_blank_attack_does_not_make_few_drives_of_two_strikes_one() -> None:
    attack = np.array([4.0, 4.5, 3.5, 4.2, np.nan, -3.0, -2.5, -3.5, -3.2, -2.8]) * DEGREE
    with pytest.raises(InputError, match="has 4 drives of up; hit at least 5"):
        separate_strikes(of({"attack": attack}), None)


def test_two_groups_of_one_name_are_one_strike_and_that_is_said(tmp_path: Path, run: Run) -> None:
    rng = np.random.default_rng(3)
    attack = np.concatenate([rng.normal(2.6, 0.3, 8), rng.normal(7, 0.3, 8)])
    found = separate_strikes(of({"attack": attack * DEGREE}), None)
    assert (found.names, found.told_by) == (("up",), ())
    assert np.array(found.alike) / DEGREE == pytest.approx([2.6, 7], abs=0.3)
    path = tmp_path / "range.csv"
    path.write_text("attack_deg,face_deg\n" + "".join(f"{a:.1f},{i % 3 - 1}\n" for i, a in enumerate(attack)))
    said = run("measure", str(path), "--out", str(tmp_path / "p.toml"), *WORDS)[1]
    assert "! There are two groups, of attack +2." in said
    assert "both are up, so one strike." in said


def test_where_nothing_tells_the_column_that_would_is_named(tmp_path: Path, run: Run) -> None:
    rng = np.random.default_rng(4)
    path = tmp_path / "range.csv"
    path.write_text("attack_deg,face_deg\n" + "".join(f"{a:.1f},1\n" for a in rng.normal(0.5, 1.5, 20)))
    said = run("measure", str(path), "--out", str(tmp_path / "p.toml"), *WORDS)[1]
    assert said.startswith("20 drives in range.csv, the player's own balls: 20 level (all alike)\n! Nothing")
    assert "If you hit two, add a column strike: up or down." in said


def test_a_strike_that_gets_another_name_is_not_as_the_table_says(tmp_path: Path, run: Run) -> None:
    path = tmp_path / "range.csv"
    rows = [f"{'up' if k < 8 else 'down'},{4 + k % 3 / 2 if k < 8 else k % 3 / 2},1" for k in range(16)]
    path.write_text("\n".join(("strike,attack_deg,face_deg", *rows)))
    said = run("measure", str(path), "--out", str(tmp_path / "p.toml"), *WORDS)[1]
    assert "8 up, 8 level (grouped as the table says, named by attack angle)" in said
    assert "! What the table calls down is level here: its attack angle is +0." in said
