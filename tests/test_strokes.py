"""Strokes against the published table, the rating system, and arithmetic done another way."""

from collections.abc import Callable
from importlib import resources
from itertools import pairwise

import numpy as np
import pandas as pd
import pytest

from holesim.relief import Lie, Lies
from holesim.strokes import GRID, Skill, mean_score, plain_score, remaining, score, skill, tour_handicap
from holesim.units import FOOT, MPH, YARD

TOUR = remaining(Skill(1.0, 1.0))


def at(table: np.ndarray, lie: Lie, metres: float) -> float:
    return float(np.interp(metres, GRID, table[lie]))


@pytest.mark.parametrize("column", ["fairway", "rough", "sand", "recovery"])
def test_a_tour_player_has_the_published_table(column: str) -> None:
    # Broadie, Interfaces 42(2), 2012, and Every Shot Counts, 2014 (from memory): smoothed within 0.03.
    file = resources.files("holesim") / "data" / "strokes_to_hole_out.csv"
    table = pd.read_csv(str(file), comment="#").dropna(subset=[column])
    for yards, value in zip(table["distance_yd"], table[column], strict=True):
        assert at(TOUR, Lie[column.upper()], yards * YARD) == pytest.approx(value, abs=0.03)


def test_a_tour_player_has_the_published_putts() -> None:
    # Broadie 2014, tour putting baseline (from memory); the grid is a metre, so from 10 ft on.
    for feet, putts in ((10, 1.61), (20, 1.87), (30, 1.98), (40, 2.06), (60, 2.21), (90, 2.40)):
        assert at(TOUR, Lie.GREEN, feet * FOOT) == pytest.approx(putts, abs=0.02)


@pytest.mark.parametrize(
    "who",
    [Skill(1.0, 1.0), skill(-5, 113 * MPH, "man"), skill(36, 75 * MPH, "man"), skill(24, 60 * MPH, "woman"),
     skill(0, 120 * MPH, "man")],
)  # fmt: skip
def test_no_golfer_gains_by_distance_or_by_a_worse_lie(who: Skill) -> None:
    table = remaining(who)
    assert (np.diff(table, axis=1) >= -1e-9).all()
    assert (table >= 1).all()
    order = [Lie.FAIRWAY, Lie.ROUGH, Lie.HEAVY, Lie.RECOVERY]
    for better, worse in pairwise(order):
        assert (table[better] <= table[worse] + 1e-9).all()
    assert (table[Lie.GREEN][:40] <= table[Lie.FAIRWAY][:40]).all()


def test_scratch_and_bogey_golfers_meet_the_rating_system() -> None:
    # Course Rating System: anchored at 6,600 yd, so only the slope that follows is a check here; a course of
    # standard difficulty has 113 (5.381 x (bogey rating - course rating) for men).
    bogey, scratch = 6600 / 160 + 50.7, 6600 / 220 + 40.9
    assert 5.381 * (bogey - scratch) == pytest.approx(113, abs=5)
    assert mean_score(0, "man") == pytest.approx(scratch + 2.4, abs=0.01)
    assert mean_score(20, "man") == pytest.approx(bogey + 3.4, abs=0.05)


@pytest.mark.parametrize("length", [6000.0, 7200.0])
@pytest.mark.parametrize(
    ("handicap", "drive", "rating", "within"),
    [
        # Course Rating System: men's scratch rating yards/220 + 40.9, drive 250 yd; bogey rating yards/160 +
        # 50.7 (from memory), drive 200 yd. The golfers are anchored at 6,600 yd; the rest is found.
        (0.0, 250, lambda yards: yards / 220 + 40.9, 0.5),
        (20.0, 200, lambda yards: yards / 160 + 50.7, 1.0),
    ],
)
def test_other_lengths_meet_the_rating_system(
    length: float, handicap: float, drive: float, rating: Callable[[float], float], within: float
) -> None:
    speed = drive / 285 * 113 * MPH
    who = skill(handicap, speed, "man")
    change = plain_score(who, speed, length) - plain_score(who, speed, 6600)
    assert change == pytest.approx(rating(length) - rating(6600), abs=within)


def test_the_tour_table_stands_for_a_plus_handicap() -> None:
    # Tour players are about +5 (common practice, no source); the table's courses are harder than plain ones.
    assert -6 < tour_handicap() < -3


def test_handicap_and_speed_trade_length_for_skill() -> None:
    assert skill(10, 90 * MPH, "man").clumsiness > skill(0, 90 * MPH, "man").clumsiness
    assert skill(10, 110 * MPH, "man").clumsiness > skill(10, 90 * MPH, "man").clumsiness


def lies(cost: list[float], *, replay: list[bool], lost: list[float] | None = None) -> Lies:
    n = len(cost)
    return Lies(
        np.zeros(n), np.zeros(n), np.zeros(n, dtype=np.int64), np.array(cost), np.array(replay),
        np.array(lost or [0.0] * n), np.full(n, np.inf),
    )  # fmt: skip


def test_stroke_and_distance_in_closed_form() -> None:
    # E = m + 2p/(1 - p), m the mean over the drives in play and p the share out.
    result = score(lies([4, 4.5, 5, np.inf], replay=[False, False, False, True]))
    assert result.expected == pytest.approx(4.5 + 2 * 0.25 / 0.75, abs=1e-12)
    assert result.cost[3] == pytest.approx(2 + result.expected)
    assert result.cost.mean() == pytest.approx(result.expected)


def test_stroke_and_distance_against_playing_it_out() -> None:
    rng = np.random.default_rng(3)
    costs = np.array([4.1, 4.4, 4.9, 5.6])
    scores = []
    for _ in range(40000):
        total, k = 0.0, rng.integers(6)
        while k >= 4:  # a third of the drives are out
            total, k = total + 2, rng.integers(6)
        scores.append(total + costs[k])
    given = lies([*costs, np.inf, np.inf], replay=[False] * 4 + [True] * 2)
    assert score(given).expected == pytest.approx(np.mean(scores), abs=4 * np.std(scores) / 200)


def test_replay_is_chosen_where_relief_is_dearer() -> None:
    # E = mean(min(cost, 2 + E)): here a drop that costs 9 is never taken.
    dear = score(lies([4, 4, 9], replay=[False, False, True])).expected
    out = score(lies([4, 4, np.inf], replay=[False, False, True])).expected
    cheap = score(lies([4, 4, 5], replay=[False, False, True])).expected
    assert dear == pytest.approx(out)
    assert cheap == pytest.approx(13 / 3)


def test_a_lost_ball_counts_as_out_at_its_rate() -> None:
    result = score(lies([4, 6], replay=[False, False], lost=[0, 0.5]))
    # E = ½·4 + ½·(½·6 + ½·(2 + E))
    assert result.expected == pytest.approx((2 + 1.5 + 0.5) / 0.75)


def test_a_tee_from_which_everything_is_out_is_an_error() -> None:
    with pytest.raises(ZeroDivisionError):
        score(lies([np.inf, np.inf], replay=[True, True]))
