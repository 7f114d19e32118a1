"""Deliveries: the size of their errors, the law that scales it, and that strikes share draws."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from holesim.player.player import Player
from holesim.shot.deliveries import Draws, make_draws, sample
from tests.conftest import property_test


def draws(seed: int = 1) -> Draws:
    return make_draws(16384, 16, np.random.default_rng(seed))


def test_spreads_and_correlation_are_the_players(amateur: Player) -> None:
    strike = amateur.driver("up")
    plain = replace(strike, spread=replace(strike.spread, miss_rate=0.0))
    d = sample(plain, draws(), spin=250, mean_spin=250)
    s = plain.spread
    for values, mean, sd in (
        (d.face, plain.face, s.face),
        (d.path, plain.path, s.path),
        (d.attack, plain.attack, s.attack),
        (d.dynamic_loft, plain.dynamic_loft, s.dynamic_loft),
        (d.club_speed, plain.club_speed, s.speed * plain.club_speed),
        (d.toe, plain.toe, s.toe),
        (d.high, plain.high, s.high),
    ):
        assert values.mean() == pytest.approx(mean, abs=0.01 * sd)
        assert values.std() == pytest.approx(sd, rel=0.01)
    assert np.corrcoef(d.face, d.path)[0, 1] == pytest.approx(s.face_path_correlation, abs=0.01)


def test_bad_misses_have_heavier_tails(amateur: Player) -> None:
    strike = amateur.driver("up")
    s = strike.spread
    d = sample(strike, draws(), spin=250, mean_spin=250)
    # The variance of a mixture: (1 - rate) + rate·scale².
    expected = s.face * np.sqrt(1 - s.miss_rate + s.miss_rate * s.miss_scale**2)
    assert d.face.std() == pytest.approx(expected, rel=0.02)
    z = (d.face - strike.face) / s.face
    assert (abs(z) > 4).mean() > 5e-4  # a normal has 6e-5


@property_test(30)
@given(st.floats(0.7, 1.3), st.floats(0.5, 2), st.floats(0, 1), st.floats(0, 1))
def test_spread_law(amateur: Player, faster: float, spin: float, a: float, b: float) -> None:
    strike = amateur.driver("up")
    quick = replace(strike, club_speed=strike.club_speed * faster)
    points = make_draws(256, 1, np.random.default_rng(0))
    base = sample(strike, points, spin=250, mean_spin=250)
    other = sample(quick, points, spin=250 * spin, mean_spin=250, speed_exponent=a, spin_exponent=b)
    law = faster**a * (1 / spin) ** b
    np.testing.assert_allclose(other.face - strike.face, law * (base.face - strike.face), rtol=1e-9)
    np.testing.assert_allclose(other.toe - strike.toe, law * (base.toe - strike.toe), rtol=1e-9)
    np.testing.assert_allclose(other.attack, base.attack)


def test_no_swing_is_far_faster_than_the_strike(amateur: Player) -> None:
    strike = amateur.drivers[0]
    spread = replace(strike.spread, speed=0.3, miss_rate=0.5, miss_scale=10)
    draws = make_draws(4096, 1, np.random.default_rng(1))
    speed = sample(replace(strike, spread=spread), draws, spin=250, mean_spin=250).club_speed
    low, high = 0.3 * strike.club_speed, 1.7 * strike.club_speed
    assert (speed.min(), speed.max()) == (pytest.approx(low), pytest.approx(high))


def test_strikes_share_their_draws(amateur: Player) -> None:
    up, down = amateur.driver("up"), amateur.driver("down")
    points = draws()
    one, two = (sample(s, points, spin=250, mean_spin=250) for s in (up, down))
    np.testing.assert_allclose(one.face - up.face, two.face - down.face)


def test_replicates_are_independent_and_repeatable() -> None:
    first, again, other = draws(1), draws(1), draws(2)
    assert (first.points == again.points).all()
    assert (first.points != other.points).any()
    assert len(np.unique(first.points[:, 0, 0])) == 16
    assert ((first.points > 0) & (first.points < 1)).all()
