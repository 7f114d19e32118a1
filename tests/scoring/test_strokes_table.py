"""Expected strokes compared with the published table, and replays compared with closed forms."""

from importlib import resources
from itertools import pairwise

import numpy as np
import pandas as pd
import pytest

from holesim.scoring.strokes_table import (
    DISTANCES,
    Skill,
    _curve,
    make_score_chances,
    make_strokes_table,
    score_distribution,
    score_drives,
)
from holesim.shot.relief import Lie, Lies
from holesim.units import FOOT, YARD
from tests.agreement.table import Agreement

TOUR = make_strokes_table(Skill(1.0, 1.0))
BROADIE = "Broadie, Interfaces 42(2), 2012, and Every Shot Counts, 2014 (from memory)"


def at(table: np.ndarray, lie: Lie, metres: float) -> float:
    return float(np.interp(metres, DISTANCES, table[lie]))


def test_a_tour_player_has_the_published_table(agree: Agreement) -> None:
    file = resources.files("holesim") / "data" / "strokes_to_hole_out.csv"
    table = pd.read_csv(str(file), comment="#")
    worst = 0.0
    for column in ("fairway", "rough", "sand", "recovery"):
        known = table.dropna(subset=[column])
        found = np.interp(known["distance_yd"] * YARD, DISTANCES, TOUR[Lie[column.upper()]])
        worst = max(worst, float(np.abs(found - known[column]).max()))
    agree.below(
        "strokes", "tour player, every lie and distance of the table: largest difference", worst, 0.03,
        source=BROADIE,
    )  # fmt: skip


def test_beyond_the_table_a_curve_goes_on_as_its_last_third_does() -> None:
    """From 60 to 90, a third of 90, it rises by 0.3: so 0.01 a metre, and at 360 by 2.7 more."""
    away, strokes = np.array([0.0, 50, 55, 60, 90]), np.array([1.0, 2.0, 2.1, 2.2, 2.5])
    curve = _curve(away, strokes)
    assert curve(away) == pytest.approx(strokes)
    assert curve(np.array([225.0, 360.0])) == pytest.approx([2.5 + 1.35, 2.5 + 2.7], abs=0.05)


def test_chances_of_so_many_strokes_or_fewer_are_sums_of_chances() -> None:
    chances, means = make_score_chances(Skill(1.0, 1.0)), np.array([1.5, 2.98, 4.21])
    single = chances.at(means)
    assert single @ np.arange(1, single.shape[1] + 1) == pytest.approx(means, abs=1e-6)
    assert chances.cumulative(means, 6) == pytest.approx(np.cumsum(single, axis=1)[:, :6], abs=1e-6)
    assert chances.averaged(means) == pytest.approx(single.mean(axis=0))


def test_a_tour_player_has_the_published_putts() -> None:
    # Broadie 2014, tour putting baseline (from memory); the grid is a metre, so from 10 ft on.
    for feet, putts in ((10, 1.61), (20, 1.87), (30, 1.98), (40, 2.06), (60, 2.21), (90, 2.40)):
        assert at(TOUR, Lie.GREEN, feet * FOOT) == pytest.approx(putts, abs=0.02)


GOLFERS = [
    Skill(1.0, 1.0),
    Skill(1.2, 1.1),
    Skill(1.5, 1.4),
    Skill(2.1, 1.5),
    Skill(0.92, 1.1),
    Skill(0.9, 0.7),
]


@pytest.mark.parametrize("who", GOLFERS)
def test_no_golfer_gains_by_distance_or_by_a_worse_lie(who: Skill) -> None:
    table = make_strokes_table(who)
    assert (np.diff(table, axis=1) >= 0).all()
    assert (table >= 1).all()
    order = [Lie.FAIRWAY, Lie.ROUGH, Lie.HEAVY, Lie.RECOVERY]
    for better, worse in pairwise(order):
        assert (table[better] <= table[worse] + 1e-9).all()
    assert (table[Lie.GREEN][:40] <= table[Lie.FAIRWAY][:40]).all()
    # Smooth: no step between metres that is more than a few times its neighbours' from 20 m on.
    assert np.abs(np.diff(table[Lie.FAIRWAY, 20:], 2)).max() < 0.004


@pytest.mark.parametrize("who", GOLFERS)
def test_chances_are_a_distribution_with_the_mean_asked_for(who: Skill) -> None:
    known = make_score_chances(who)
    means = np.linspace(1, 8, 57)
    shares = known.at(means)
    numbers = np.arange(1, shares.shape[1] + 1)
    assert (shares >= 0).all()
    np.testing.assert_allclose(shares.sum(axis=1), 1, atol=1e-12)
    np.testing.assert_allclose(shares @ numbers, means, atol=1e-3)
    # The more strokes on average, the smaller the chance of any few.
    assert (np.diff(np.cumsum(known.at(np.linspace(1, 8, 200)), axis=1), axis=0) <= 1e-9).all()
    np.testing.assert_allclose(known.averaged(means), shares.mean(axis=0), atol=1e-12)


def test_chances_meet_what_the_tour_does(agree: Agreement) -> None:
    tour = Skill(1.0, 1.0)
    putts = score_distribution(tour, Lie.GREEN, np.array([10, 60]) * FOOT)
    agree.near(
        "strokes", "tour player: one putt from 10 ft", putts[0, 0] * 100, 40, 2, unit=" %", source=BROADIE
    )
    agree.near(
        "strokes", "tour player: three putts from 60 ft", putts[1, 2] * 100, 23, 2, unit=" %", source=BROADIE
    )
    practice = "common practice, from memory"
    sand = score_distribution(tour, Lie.SAND, np.array([20 * YARD]))[0, :2].sum() * 100
    agree.between("strokes", "tour player: up and down from sand", sand, 48, 56, unit=" %", source=practice)
    par3, par5 = make_score_chances(tour).at(np.array([3.07, 4.70])) * 100
    agree.between("strokes", "tour player: birdies on par 3s", par3[1], 12, 18, unit=" %", source=practice)
    agree.between("strokes", "tour player: birdies on par 5s", par5[3], 36, 46, unit=" %", source=practice)


def lies(cost: list[float], *, replay: list[bool], lost: list[float] | None = None) -> Lies:
    n = len(cost)
    return Lies(
        np.zeros(n), np.zeros(n), np.zeros(n, dtype=np.int64), np.array(cost), np.array(replay),
        np.array(lost or [0.0] * n), np.full(n, np.inf),
    )  # fmt: skip


def test_stroke_and_distance_in_closed_form() -> None:
    # E = m + 2p/(1 - p), m the mean over the drives in play and p the share out.
    result = score_drives(lies([4, 4.5, 5, np.inf], replay=[False, False, False, True]))
    assert result.expected == pytest.approx(4.5 + 2 * 0.25 / 0.75, abs=1e-12)
    assert result.cost[3] == pytest.approx(2 + result.expected)
    assert result.cost.mean() == pytest.approx(result.expected)


def test_stroke_and_distance_meets_rounds_played_out() -> None:
    rng = np.random.default_rng(3)
    costs = np.array([4.1, 4.4, 4.9, 5.6])
    scores = []
    for _ in range(40000):
        total, k = 0.0, rng.integers(6)
        while k >= 4:  # a third of the drives are out
            total, k = total + 2, rng.integers(6)
        scores.append(total + costs[k])
    given = lies([*costs, np.inf, np.inf], replay=[False] * 4 + [True] * 2)
    assert score_drives(given).expected == pytest.approx(np.mean(scores), abs=4 * np.std(scores) / 200)


def test_replay_is_chosen_where_relief_is_dearer() -> None:
    # E = mean(min(cost, 2 + E)): here a drop that costs 9 is never taken.
    dear = score_drives(lies([4, 4, 9], replay=[False, False, True])).expected
    out = score_drives(lies([4, 4, np.inf], replay=[False, False, True])).expected
    cheap = score_drives(lies([4, 4, 5], replay=[False, False, True])).expected
    assert dear == pytest.approx(out)
    assert cheap == pytest.approx(13 / 3)


def test_a_lost_ball_counts_as_out_at_its_rate() -> None:
    result = score_drives(lies([4, 6], replay=[False, False], lost=[0, 0.5]))
    # E = ½·4 + ½·(½·6 + ½·(2 + E))
    assert result.expected == pytest.approx((2 + 1.5 + 0.5) / 0.75)


def test_a_tee_from_which_everything_is_out_is_an_error() -> None:
    with pytest.raises(ZeroDivisionError):
        score_drives(lies([np.inf, np.inf], replay=[True, True]))
