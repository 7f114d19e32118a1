"""Bounce and run against published runs and what every golfer knows."""

from math import hypot

import pytest

from holesim.air import make_air
from holesim.bounce import Firmness, run
from holesim.course import Ground
from holesim.flight import fly, turned
from holesim.ground import plain
from holesim.impact import Launches
from holesim.units import YARD

from .conftest import launch


def run_yd(launches: Launches, ground: Ground = Ground.FAIRWAY, firmness: Firmness = "medium") -> float:
    landings, _ = fly(launches, make_air())
    rests = run(landings, plain(ground), firmness=firmness)
    return hypot(rests.x[0] - landings.x[0], rests.y[0] - landings.y[0]) / YARD


def test_a_scratch_drive_runs_about_as_the_rating_system_says() -> None:
    # Course Rating System (The R&A and USGA): a scratch man's drive carries 225 yd and rolls 25.
    scratch = launch(143, 11.5, 2900)
    assert fly(scratch, make_air())[0].x[0] / YARD == pytest.approx(225, abs=2)
    assert run_yd(scratch) == pytest.approx(25, abs=6)


def test_the_overall_distance_standard() -> None:
    # Equipment Rules (The R&A and USGA): 317 yd of carry and run from about 176 mph, 10°, 2520 rpm (from
    # memory); the longest balls sit at the limit.
    limit = launch(176, 10, 2520)
    total = fly(limit, make_air())[0].x[0] / YARD + run_yd(limit)
    assert total == pytest.approx(317, rel=0.02)


def test_steeper_or_more_spin_runs_less() -> None:
    assert run_yd(launch(160, 16, 2700)) < run_yd(launch(160, 11, 2700)) < run_yd(launch(160, 7, 2700))
    assert run_yd(launch(160, 11, 3800)) < run_yd(launch(160, 11, 2700)) < run_yd(launch(160, 11, 2000))


def test_firmer_ground_runs_more_and_worse_ground_less() -> None:
    drive = launch(160, 11, 2700)
    assert run_yd(drive, firmness="soft") < run_yd(drive) < run_yd(drive, firmness="firm")
    order = [Ground.FAIRWAY, Ground.ROUGH, Ground.HEAVY_ROUGH, Ground.BUNKER]
    runs = [run_yd(drive, ground) for ground in order]
    assert runs == sorted(runs, reverse=True)
    assert runs[-1] < runs[0] / 3


def test_water_keeps_the_ball_where_it_fell() -> None:
    assert run_yd(launch(160, 11, 2700), Ground.RED) == 0


def test_sidespin_checks_as_backspin_does() -> None:
    # A ball that backspin carries forward checks as it bounces; one that sidespin curves right checks left.
    launches = launch(160, 11, 2700, 25)
    landings, _ = turned(*fly(launches, make_air()), heading=0.0, origin=(0.0, 0.0))
    rests = run(landings, plain(Ground.FAIRWAY))
    kept = landings.x[0] + landings.vx[0] / landings.vy[0] * (rests.y[0] - landings.y[0])
    assert landings.x[0] < rests.x[0] < kept
