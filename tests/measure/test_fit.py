"""Fitting a player: known golfers come back as surely as is said, and the plain case is scipy's."""

from collections.abc import Sequence

import emcee
import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import stats
from scipy.special import logsumexp

from holesim.common import parallel
from holesim.common.posterior_sampling import sample_posterior
from holesim.data.examples import PLAYER, find
from holesim.measure.fit import (
    DELIVERY,
    NOISE,
    _Evidence,
    _Known,
    _measures,
    _weigh,
    fit_deliveries,
    prior_mean_sd,
)
from holesim.measure.fit_records import Golfers, Measures
from holesim.measure.told_drives import tell_drives
from holesim.player.make_player import with_strikes
from holesim.player.player import LOFT_BY_ATTACK, Strike
from holesim.player.player_file import read_player
from holesim.player.population import LINK_SD, MISHITS, MISS_WEIGHT, SPREAD_LOG_SD, STRIKE_SPREAD_LOG_SD
from holesim.shot.air import make_air
from holesim.shot.balls import SD, make_ball
from holesim.shot.deliveries import Deliveries
from holesim.shot.flight import QUINTAVALLA, Aerodynamics, fly
from holesim.shot.impact import choose_head, impact
from holesim.units import DEGREE, MM

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


def ranks(trial: int) -> Floats:
    """Return which share of draws lies below the truth, for each number of a golfer drawn from the prior.

    20 drives of one strike, by what the ball does alone.
    """
    rng, known = np.random.default_rng([3, trial]), strikes()[:1]
    centres, unit = units(known)
    before = known[0].spread
    sd = prior_mean_sd(known)
    means = centres + sd * rng.standard_normal(centres.shape)
    # Who hits up by a degree more presents 0.65° more loft.
    attack, loft = DELIVERY.index("attack"), DELIVERY.index("dynamic_loft")
    own = np.sqrt(sd[:, loft] ** 2 - (LOFT_BY_ATTACK * sd[:, attack]) ** 2)
    by_attack = LOFT_BY_ATTACK * (means - centres)[:, attack]
    means[:, loft] = centres[:, loft] + by_attack + own * rng.standard_normal(len(known))
    own = np.ones(len(DELIVERY))
    own[PATH] = np.sqrt(1 - before.face_path_correlation**2)
    own *= np.exp(SPREAD_LOG_SD * rng.standard_normal(len(own)))
    link = before.face_path_correlation + LINK_SD * rng.standard_normal()
    ratio = np.exp(STRIKE_SPREAD_LOG_SD * rng.standard_normal())
    rate = rng.beta(MISS_WEIGHT * before.miss_rate, MISS_WEIGHT * (1 - before.miss_rate))
    # Misses that are mishits are left to the tests below.
    wild = np.where(rng.random(20) < rate, before.miss_scale, 1.0) * ratio
    errors = own * rng.standard_normal((20, len(DELIVERY)))
    errors[:, PATH] += link * errors[:, FACE]
    given = measures(means + unit * errors * wild[:, None], BALL, rng)
    found = fit_deliveries(given, np.zeros(20, dtype=np.int64), known, side=1.0, rng=rng)
    path = np.hypot(link * own[FACE], own[PATH])
    correlation = link * own[FACE] / path
    own[PATH] = path
    return np.concatenate([
        np.mean(found.means[:, 0] < means[0], axis=0),
        np.mean(found.spread * found.ratios < unit * own * ratio, axis=0),
        [np.mean(found.correlation < correlation), np.mean(found.miss_rate < rate)],
    ])  # fmt: skip


def test_true_values_stand_anywhere_among_the_draws() -> None:
    """Simulation-based calibration (Talts and others, arXiv:1804.06788, 2018): ranks are even from 0 to 1."""
    found = np.array(parallel.share_out(ranks, 20))
    chances = [stats.kstest(column, "uniform").pvalue for column in found.T]
    assert min(chances) > 0.01 / len(chances)
    # Half of all lie in the middle half, and nine tenths in the middle nine tenths; numbers go together.
    assert np.mean(np.abs(found - 0.5) < 0.25) == pytest.approx(0.5, abs=0.06)
    assert np.mean(np.abs(found - 0.5) < 0.45) == pytest.approx(0.9, abs=0.04)


def one_pupil() -> tuple[_Evidence, dict[str, Floats]]:
    """Return what 20 drives of one strike say, by the ball alone, and the drives."""
    rng, known = np.random.default_rng(7), strikes()[:1]
    centres, unit = units(known)
    given = measures(centres[0] + 1.2 * unit * rng.standard_normal((20, len(DELIVERY))), BALL, rng)
    prior = _Known(known, 1, carried=False, attack_told=False)
    return _weigh(_measures(given, np.zeros(20, dtype=np.int64), prior, 1.0), prior), given


def test_a_general_purpose_sampler_finds_the_same_posterior() -> None:
    """emcee 3 (Foreman-Mackey and others, Publ. Astron. Soc. Pac. 125, 2013), on one pupil."""
    evidence, _ = one_pupil()
    size, rng = evidence.known.size, np.random.default_rng(1)

    def log_posterior(x: Floats) -> Floats:
        return np.asarray(evidence.log_likelihoods(x) - (x**2).sum(axis=1) / 2)

    walkers = emcee.EnsembleSampler(80, size, log_posterior, vectorize=True)
    walkers.random_state = np.random.RandomState(3).get_state()
    walkers.run_mcmc(rng.standard_normal((80, size)), 3000)
    theirs = walkers.get_chain(discard=600, flat=True)
    ours = sample_posterior(evidence.log_likelihoods, size, rng=rng)
    # 1,024 independent draws leave 0.03; its 80 walkers, of 230 steps that are worth one, as much again.
    assert np.abs((ours.mean(axis=0) - theirs.mean(axis=0)) / theirs.std(axis=0)).max() < 0.15
    assert (ours.std(axis=0) / theirs.std(axis=0)).mean() == pytest.approx(1, abs=0.02)


def swing(golfers: Golfers, k: int, errors: Floats) -> Deliveries:
    """Return deliveries of a golfer by errors in standard deviations, shape (deliveries, 7)."""
    off = golfers.spread[k, 0] * errors
    off[:, PATH] += golfers.link[k] * off[:, FACE]
    return Deliveries(*(golfers.means[k, 0] + off).T)


def log_chance(chances: Sequence[Floats], golfers: Golfers, k: int, measured: Measures) -> float:
    """Return the log chance of a golfer's drives, given those of each drive if it was sound and if wild."""
    rate = golfers.miss_rate[k]
    shares = np.log([1 - rate, rate * (1 - MISHITS), rate * MISHITS])
    every = np.array([*chances, measured.mishits[measured.group_of]])
    return float(logsumexp(every + shares[:, None], axis=0).sum())


def test_deliveries_are_integrated_out_as_by_brute_force() -> None:
    """Means over 400,000 deliveries of each of four golfers of the posterior, through impact as it is."""
    evidence, given = one_pupil()
    prior, rng = evidence.known, np.random.default_rng(2)
    x = sample_posterior(evidence.log_likelihoods, prior.size, draws=256, rng=rng)[:4]
    golfers, _ = prior.golfers(x)
    noise = np.array([NOISE[name] for name in BALL])
    drives = np.column_stack([given[name] for name in BALL])
    head = choose_head("driver", strikes()[0].club_speed)
    errors = rng.standard_normal((400_000, len(DELIVERY)))
    brute = []
    for k in range(len(x)):
        chances = []
        for scale in (1.0, prior.miss_scale):
            launches = impact(swing(golfers, k, scale * errors), head, side=1.0)
            true = np.column_stack([
                launches.speed, launches.angle, launches.direction, launches.spin, launches.tilt
            ])  # fmt: skip
            logs = np.array([-(((drive - true) / noise) ** 2).sum(axis=1) / 2 for drive in drives])
            peak = -np.log(np.sqrt(2 * np.pi) * noise).sum() - np.log(len(errors))
            chances.append(logsumexp(logs, axis=1) + peak)
        brute.append(log_chance(chances, golfers, k, evidence.measures))
    apart = evidence.log_likelihoods(x) - np.array(brute)
    # What all golfers have in common changes no posterior.
    assert apart.std() < 0.5
    assert abs(apart.mean()) < 1.0


def test_golfers_are_weighed_as_if_their_own_deliveries_had_been_looked_for() -> None:
    """Of 20 drives by the ball and its landing: about each golfer's deliveries, not the likeliest's."""
    rng, known = np.random.default_rng(5), strikes()[:1]
    centres, unit = units(known)
    given = measures(centres[0] + unit * rng.standard_normal((20, 7)), (*BALL, "offline", "carry"), rng)
    prior = _Known(known, 1, carried=True, attack_told=False)
    measured = _measures(given, np.zeros(20, dtype=np.int64), prior, 1.0)
    evidence = _weigh(measured, prior)
    x = sample_posterior(evidence.log_likelihoods, prior.size, draws=256, rng=rng)[:64]
    anew = []
    for row in x:
        golfer, _ = prior.golfers(row[None])
        told = tell_drives(measured, golfer, prior.slopes.tolist())
        anew.append(_Evidence(measured, prior, told).log_likelihoods(row[None])[0])
    # By slopes alone, about the likeliest golfer's, they were 0.74 apart.
    assert (evidence.log_likelihoods(x) - anew).std() < 0.5


def test_few_columns_tell_as_by_brute_force() -> None:
    """Means over 32,768 deliveries of golfers of the posterior, of 20 drives by carry and side."""
    rng, known = np.random.default_rng(6), strikes()[:1]
    centres, unit = units(known)
    errors = rng.standard_normal((20, len(DELIVERY)))
    errors[:, PATH] += known[0].spread.face_path_correlation * errors[:, FACE]
    given = measures(centres[0] + unit * errors, ("offline", "carry"), rng)
    prior = _Known(known, 1, carried=True, attack_told=False)
    evidence = _weigh(_measures(given, np.zeros(20, dtype=np.int64), prior, 1.0), prior)
    x = sample_posterior(evidence.log_likelihoods, prior.size, draws=256, rng=rng)[:24]
    golfers, order = prior.golfers(x)
    seen = np.column_stack([given["offline"], given["carry"]])
    noise = np.array([NOISE["offline"], NOISE["carry"]])
    normal = stats.norm.ppf(stats.qmc.Sobol(len(DELIVERY), seed=1).random(2**15))
    brute = np.empty(len(x))
    for k in range(len(x)):
        ball = make_ball(float(prior.slopes[golfers.ball[k]]))
        head = choose_head("driver", float(golfers.means[k, 0, 0]))
        chances = []
        for scale in (1.0, prior.miss_scale):
            launches = impact(swing(golfers, k, scale * normal), head, side=1.0)
            landings, _ = fly(launches, make_air(), aerodynamics=ball)
            carry = golfers.stretch[k] * np.hypot(landings.x, landings.y)
            true = np.column_stack([np.arctan2(landings.y, landings.x), carry])
            logs = np.array([stats.norm.logpdf(drive, true, noise).sum(axis=1) for drive in seen])
            chances.append(logsumexp(logs, axis=1) - np.log(len(normal)))
        brute[order[k]] = log_chance(chances, golfers, k, evidence.measures)
    # With bends of face and path added up, as if they did not turn together, they were 1.0 apart.
    assert (evidence.log_likelihoods(x) - brute).std() < 0.75


def test_a_drive_off_the_toe_tells_of_golfers_what_it_tells() -> None:
    """Importance sampling through impact as it is: of a drive struck 8 spreads off the middle of the face."""
    rng, known = np.random.default_rng(11), strikes()[:1]
    centres, unit = units(known)
    swing = centres + unit * np.array([[-0.2, 2.0, 3.0, 2.0, -1.5, 8.0, -2.0]])
    given = measures(swing, (*DELIVERY, *BALL), rng)
    prior = _Known(known, 1, carried=False, attack_told=False)
    measured = _measures(given, np.zeros(1, dtype=np.int64), prior, 1.0)
    evidence = _weigh(measured, prior)
    # Golfers who differ in everything, those of the strike point and the face most.
    x = 0.7 * rng.standard_normal((6, prior.size))
    golfers, _ = prior.golfers(x)
    columns = [name for name in NOISE if name in given]
    noise, seen = np.array([NOISE[name] for name in columns]), np.array([given[name][0] for name in columns])
    head = choose_head("driver", strikes()[0].club_speed)
    exact = []
    for k in range(len(x)):
        link = np.eye(len(DELIVERY))
        link[PATH, FACE] = golfers.link[k]
        own = link @ np.diag(golfers.spread[k, 0] ** 2) @ link.T
        chances = []
        for kind, scale in enumerate((1.0, prior.miss_scale)):
            slopes = np.vstack([np.eye(len(DELIVERY)), evidence.told.launches[0, kind, :, 0, 1:]])
            precision = slopes.T @ (slopes / noise[:, None] ** 2)
            near = 1.5 * np.linalg.inv(precision + np.linalg.inv(scale**2 * own))
            tried = stats.multivariate_t(evidence.told.anchors[0, kind], near, df=5, seed=rng)
            drawn = tried.rvs(30_000)
            launches = impact(Deliveries(*drawn.T), head, side=1.0)
            told = np.column_stack([
                drawn, launches.speed, launches.angle, launches.direction, launches.spin, launches.tilt
            ])  # fmt: skip
            logs = stats.norm.logpdf(seen, told, noise).sum(axis=1) - tried.logpdf(drawn)
            logs += stats.multivariate_normal.logpdf(drawn, golfers.means[k, 0], scale**2 * own)
            chances.append(np.array([logsumexp(logs) - np.log(len(drawn))]))
        exact.append(log_chance(chances, golfers, k, measured))
    found = evidence.log_likelihoods(x)
    assert np.ptp(exact) > 3
    assert found == pytest.approx(np.array(exact), abs=0.2)


def test_tops_count_as_misses_and_widen_nothing() -> None:
    """Five topped drives of forty: found out, and the spread is that of the others."""
    rng, known = np.random.default_rng(12), strikes()[:1]
    centres, unit = units(known)
    swings = centres[0] + unit * rng.standard_normal((40, len(DELIVERY)))
    given = measures(swings, (*DELIVERY, *BALL, "carry", "offline"), rng)
    without = {name: values[5:] for name, values in given.items()}
    given["ball_speed"][:5] *= rng.uniform(0.4, 0.7, 5)
    given["launch_angle"][:5] = rng.uniform(-5, 3, 5) * DEGREE
    given["spin"][:5] = rng.uniform(100, 500, 5)
    given["carry"][:5] = rng.uniform(2, 60, 5)
    given["high"][:5] = -rng.uniform(22, 40, 5) * MM
    found = fit_deliveries(given, np.zeros(40, dtype=np.int64), known, side=1.0, rng=rng)
    alone = fit_deliveries(without, np.zeros(35, dtype=np.int64), known, side=1.0, rng=rng)
    assert (found.missed[:5] > 0.95).all()
    assert (found.missed[5:] > 0.5).sum() <= 1
    assert found.spread.mean(axis=0) == pytest.approx(alone.spread.mean(axis=0), rel=0.05)
    assert 0.05 < found.miss_rate.mean() < 0.2


def test_days_are_told_from_swings() -> None:
    """Four days of 15 drives: each day's face is found, and the spread from swing to swing is not widened."""
    rng, known = np.random.default_rng(14), strikes()[:1]
    centres, unit = units(known)
    session_of = np.repeat(np.arange(4), 15)
    off = np.array([-1.5, -0.5, 0.5, 1.5])[session_of] * unit[FACE]
    swings = centres[0] + unit * rng.standard_normal((60, len(DELIVERY)))
    swings[:, FACE] += off
    given, strike_of = measures(swings, DELIVERY, rng), np.zeros(60, dtype=np.int64)
    pooled = fit_deliveries(given, strike_of, known, side=1.0, rng=rng)
    found = fit_deliveries(given, strike_of, known, side=1.0, session_of=session_of, rng=rng)
    days = found.days[:, :, FACE].mean(axis=0) / unit[FACE]
    assert days == pytest.approx([-1.5, -0.5, 0.5, 1.5], abs=0.5)
    spread = found.spread[:, FACE].mean() / unit[FACE]
    assert spread == pytest.approx(1, abs=0.2)
    assert pooled.spread[:, FACE].mean() / unit[FACE] > spread + 0.2
    # The golfer's own mean is less sure than if all drives were of one day.
    assert found.means[:, 0, FACE].std() > 1.5 * pooled.means[:, 0, FACE].std()
    assert found.day_sd[:, FACE].mean() > 1.3 * found.day_sd[:, DELIVERY.index("attack")].mean() * (
        unit[FACE] / unit[DELIVERY.index("attack")]
    )


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
    # As what a bare file leaves open: half of all golfers' spreads are below the default.
    own = [k for k in range(len(DELIVERY)) if k != PATH]
    assert np.median(found.spread, axis=0)[own] == pytest.approx(unit[own], rel=0.02)
    assert np.log(found.spread[:, own]).std(axis=0) == pytest.approx(SPREAD_LOG_SD, rel=0.04)
    assert found.means.std(axis=0) == pytest.approx(prior_mean_sd(known), rel=0.05)
    # As of the population, dynamic loft goes with attack.
    attack, loft = (found.means[:, 0, DELIVERY.index(name)] for name in ("attack", "dynamic_loft"))
    assert np.polyfit(attack, loft, 1)[0] == pytest.approx(LOFT_BY_ATTACK, abs=0.05)


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


def test_the_name_that_measured_attacks_give_a_strike_says_nothing_of_them_beforehand() -> None:
    """Else drives at the edge of a name would be taken for those of its middle."""
    rng, nothing = np.random.default_rng(8), np.zeros(8, dtype=np.int64)
    player = with_strikes(read_player(find(PLAYER))[0], ("up", "level"))
    _, unit = units(player.strikes[:2])
    attack = DELIVERY.index("attack")
    seen = 1.9 * DEGREE + unit[attack] * rng.standard_normal(8)
    speed = player.strikes[0].club_speed + unit[0] * rng.standard_normal(8)
    by_name, by_speed = (
        [
            fit_deliveries(given, nothing, [strike], side=1.0, draws=2000, rng=rng).means[:, 0, attack].mean()
            for strike in player.strikes[:2]
        ]
        for given in ({"attack": seen, "club_speed": speed}, {"club_speed": speed})
    )
    assert by_name[0] == pytest.approx(by_name[1], abs=0.1 * DEGREE)
    # All golfers' prior, of mean 0.5° and standard deviation 2.4°, takes the mean a little towards 0.5°.
    share = 2.4**2 / (2.4**2 + (unit[attack] / DEGREE) ** 2 / 8)
    expected = 0.5 * DEGREE + share * (seen.mean() - 0.5 * DEGREE)
    assert by_name[0] == pytest.approx(expected, abs=0.2 * DEGREE)
    # Where attack was not measured the name is all that tells of it.
    assert by_speed == pytest.approx([strike.attack for strike in player.strikes[:2]], abs=0.1 * DEGREE)
    assert by_speed[0] > by_speed[1] + 2 * DEGREE


def test_few_drives_do_not_look_like_many() -> None:
    known = strikes()[:1]
    centres, unit = units(known)
    widths = []
    for drives in (10, 160):
        rng = np.random.default_rng(4)
        swings = centres[0] + unit * rng.standard_normal((drives, len(DELIVERY)))
        given = measures(swings, DELIVERY, rng)
        found = fit_deliveries(given, np.zeros(drives, dtype=np.int64), known, side=1.0, draws=1000, rng=rng)
        low, high = np.quantile(found.spread[:, FACE] * found.ratios[:, 0], (0.05, 0.95))
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
