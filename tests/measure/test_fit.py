"""Fitting a player: known golfers come back as surely as is said, and the plain case is scipy's."""

from collections.abc import Sequence

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import stats

from holesim.common import parallel
from holesim.data.examples import PLAYER, find
from holesim.measure.fit import CARRY_SD, DELIVERY, NOISE, fit_deliveries, prior_mean_sd
from holesim.player.make_player import with_strikes
from holesim.player.player import Strike
from holesim.player.player_file import read_player
from holesim.player.population import LINK_SD, MISS_WEIGHT, SPREAD_WEIGHT, STRIKE_SPREAD_LOG_SD
from holesim.shot.air import make_air
from holesim.shot.balls import CHANCES, SD, SLOPES, make_ball
from holesim.shot.deliveries import Deliveries
from holesim.shot.flight import QUINTAVALLA, Aerodynamics, fly
from holesim.shot.impact import choose_head, impact

Floats = NDArray[np.float64]

BALL = ("ball_speed", "launch_angle", "start_direction", "spin", "axis_tilt")
FACE, PATH = DELIVERY.index("face"), DELIVERY.index("path")


def strikes() -> tuple[Strike, ...]:
    player = with_strikes(read_player(find(PLAYER))[0], ("up", "down"))
    return player.strikes[:2]


def units(known: Sequence[Strike]) -> tuple[Floats, Floats]:
    """Return each strike's default delivery, and the default spread."""
    spread = known[0].spread
    unit = [spread.speed * known[0].club_speed, *(getattr(spread, name) for name in DELIVERY[1:])]
    return np.array([[getattr(strike, name) for name in DELIVERY] for strike in known]), np.array(unit)


def measures(
    swings: Floats, columns: Sequence[str], rng: np.random.Generator, *, of: Aerodynamics = QUINTAVALLA
) -> dict[str, Floats]:
    """Return what is measured of deliveries, with noise, by a ball."""
    deliveries = Deliveries(*swings.T)
    launches = impact(deliveries, choose_head("driver", strikes()[0].club_speed), side=1.0)
    landings, _ = fly(launches, make_air(), aerodynamics=of)
    true = {name: getattr(deliveries, name) for name in DELIVERY} | {
        "ball_speed": launches.speed, "launch_angle": launches.angle,
        "start_direction": launches.direction, "spin": launches.spin, "axis_tilt": launches.tilt,
        "offline": np.arctan2(landings.y, landings.x), "carry": np.hypot(landings.x, landings.y),
    }  # fmt: skip
    return {name: true[name] + NOISE[name] * rng.standard_normal(len(swings)) for name in columns}


def covered(trial: int, *, columns: Sequence[str], each: int, draws: int) -> list[bool]:
    """Return of which numbers of a golfer drawn from the prior the 90 % interval holds the true one.

    Where carries are measured the last is the ball's.
    """
    rng, known = np.random.default_rng([3, trial]), strikes()
    centres, unit = units(known)
    before = known[0].spread
    means = centres + prior_mean_sd(known) * rng.standard_normal(centres.shape)
    own = np.ones(len(DELIVERY))
    own[PATH] = np.sqrt(1 - before.face_path_correlation**2)
    own *= np.sqrt(SPREAD_WEIGHT / rng.chisquare(SPREAD_WEIGHT, len(own)))
    link = before.face_path_correlation + LINK_SD * rng.standard_normal()
    ratios = np.exp(STRIKE_SPREAD_LOG_SD * rng.standard_normal(2))
    rate = rng.beta(MISS_WEIGHT * before.miss_rate, MISS_WEIGHT * (1 - before.miss_rate))
    strike_of = np.repeat([0, 1], each)
    wild = np.where(rng.random(2 * each) < rate, before.miss_scale, 1.0) * ratios[strike_of]
    errors = own * rng.standard_normal((2 * each, len(DELIVERY)))
    errors[:, PATH] += link * errors[:, FACE]
    swings = means[strike_of] + unit * errors * wild[:, None]
    slope = float(rng.choice(SLOPES, p=CHANCES))
    given = measures(swings, columns, rng, of=make_ball(slope))
    if "carry" in columns:
        given["carry"] *= 1 + CARRY_SD * rng.standard_normal()
    found = fit_deliveries(given, strike_of, known, side=1.0, draws=draws, rng=rng)
    path = np.hypot(link * own[FACE], own[PATH])
    correlation = link * own[FACE] / path
    own[PATH] = path
    hits: list[bool] = []
    for kept, true in (
        (found.means, means), (found.spread, unit * own), (found.ratios, ratios),
        (found.correlation, correlation), (found.miss_rate, rate),
        *([] if found.drag_slope is None else [(found.drag_slope, slope)]),
    ):  # fmt: skip
        low, high = np.quantile(kept, (0.05, 0.95), axis=0)
        hits += np.ravel((low <= true) & (true <= high)).tolist()
    return hits


def coverage(columns: Sequence[str], trials: int, *, draws: int) -> Floats:
    """Return the share of trials whose interval holds the true value, for each number of a golfer."""
    found = parallel.share_out(lambda trial: covered(trial, columns=columns, each=20, draws=draws), trials)
    return np.asarray(np.mean(found, axis=0))


def test_nine_in_ten_intervals_hold_the_true_value() -> None:
    """By what the ball does alone, 20 drives of each of two strikes; each number errs by chance by 0.02."""
    held = coverage(BALL, 120, draws=2000)  # as many as a user's fit has
    assert 0.85 <= held.mean() <= 0.95
    assert held.min() > 0.80


def test_carries_narrow_the_ball() -> None:
    """All of the ball measured, 20 drives of each of two strikes; each number errs by chance by 0.04."""
    held = coverage((*BALL, "carry", "offline"), 60, draws=400)
    assert 0.85 <= held.mean() <= 0.95
    assert 0.8 <= held[-1] <= 0.99


def test_of_what_is_measured_of_both_strikes_the_ball_is_half_as_uncertain() -> None:
    rng, known = np.random.default_rng(8), strikes()
    centres, unit = units(known)
    strike_of = np.repeat([0, 1], 20)
    swings = centres[strike_of] + unit * rng.standard_normal((40, len(DELIVERY)))
    given = measures(swings, (*BALL, "carry", "offline"), rng)
    slopes = fit_deliveries(given, strike_of, known, side=1.0, rng=rng).drag_slope
    assert slopes is not None
    assert slopes.std() < SD / 2
    assert abs(slopes.mean() - QUINTAVALLA.drag_1) < 3 * slopes.std()
    # That all carries are measured longer tells of the air, or of the measuring.
    longer = given | {"carry": 1.02 * given["carry"]}
    others = fit_deliveries(longer, strike_of, known, side=1.0, rng=rng).drag_slope
    assert others is not None
    assert others.mean() == pytest.approx(slopes.mean(), abs=0.5 * slopes.std())


def test_without_drives_the_prior_comes_back() -> None:
    """The same for every strike, the first as any other."""
    known, nothing = strikes(), np.empty(0, dtype=np.int64)
    found = fit_deliveries({}, nothing, known, side=1.0, draws=20000, rng=np.random.default_rng(5))
    _, unit = units(known)
    logs = np.log(found.ratios)
    assert logs.mean(axis=0) == pytest.approx([0, 0], abs=0.005)
    assert logs.std(axis=0) == pytest.approx(STRIKE_SPREAD_LOG_SD, rel=0.04)
    assert np.corrcoef(logs.T)[0, 1] == pytest.approx(0, abs=0.04)
    # Half of all golfers' errors are below the median of what so many drives leave open.
    median = unit * np.sqrt(SPREAD_WEIGHT / stats.chi2.median(SPREAD_WEIGHT))
    own = [k for k in range(len(DELIVERY)) if k != PATH]
    assert np.median(found.spread, axis=0)[own] == pytest.approx(median[own], rel=0.02)
    assert found.means.std(axis=0) == pytest.approx(prior_mean_sd(known), rel=0.05)


def test_two_strikes_of_the_same_drives_spread_alike() -> None:
    rng, (one, _) = np.random.default_rng(9), strikes()
    centres, unit = units((one,))
    given = measures(centres[0] + 1.5 * unit * rng.standard_normal((10, len(DELIVERY))), DELIVERY, rng)
    twice = {name: np.tile(values, 2) for name, values in given.items()}
    found = fit_deliveries(twice, np.repeat([0, 1], 10), (one, one), side=1.0, draws=8000, rng=rng)
    first, second = found.ratios.mean(axis=0)
    assert first > 1
    assert first == pytest.approx(second, abs=0.01)


def test_the_plain_case_is_textbook_statistics() -> None:
    """All of the club measured, many drives, no misses: Student's interval of a mean, chi² of a deviation."""
    rng, known = np.random.default_rng(2), strikes()[:1]
    centres, unit = units(known)
    drives = 200
    swings = centres[0] + unit * rng.standard_normal((drives, len(DELIVERY)))
    given = measures(swings, DELIVERY, rng)
    found = fit_deliveries(given, np.zeros(drives, dtype=np.int64), known, side=1.0, rng=rng)
    for name in ("attack", "face", "dynamic_loft", "toe"):
        k, seen = DELIVERY.index(name), given[name]
        mean = stats.t.interval(0.9, drives - 1, seen.mean(), stats.sem(seen))
        assert np.quantile(found.means[:, 0, k], (0.05, 0.95)) == pytest.approx(mean, abs=0.1 * unit[k])
        # What was measured varies by the swing and by the noise together.
        squares = drives * seen.var() / stats.chi2.ppf((0.95, 0.05), drives - 1) - NOISE[name] ** 2
        assert np.quantile(found.spread[:, k], (0.05, 0.95)) == pytest.approx(np.sqrt(squares), rel=0.08)


def test_few_drives_do_not_look_like_many() -> None:
    known = strikes()[:1]
    centres, unit = units(known)
    widths = []
    for drives in (10, 160):
        rng = np.random.default_rng(4)
        swings = centres[0] + unit * rng.standard_normal((drives, len(DELIVERY)))
        given = measures(swings, DELIVERY, rng)
        found = fit_deliveries(given, np.zeros(drives, dtype=np.int64), known, side=1.0, draws=1000, rng=rng)
        low, high = np.quantile(found.spread[:, FACE], (0.05, 0.95))
        widths.append(np.log(high / low))
    assert widths[0] > 2 * widths[1]


def test_bad_misses_are_set_apart() -> None:
    rng, known = np.random.default_rng(6), strikes()[:1]
    centres, unit = units(known)
    errors = rng.standard_normal((60, len(DELIVERY)))
    errors[:3] *= 4
    given = measures(centres[0] + unit * errors, DELIVERY, rng)
    found = fit_deliveries(given, np.zeros(60, dtype=np.int64), known, side=1.0, draws=1000, rng=rng)
    assert set(np.flatnonzero(found.missed > 0.5)) >= {0, 1, 2}
    assert (found.missed > 0.5).sum() <= 6
    # They hardly widen the rest.
    assert found.spread[:, FACE].mean() < 1.3 * unit[FACE]
