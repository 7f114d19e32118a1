"""Posterior draws: as the file says or as golfers differ, and how they widen intervals."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import stats

from holesim.course.course import Course
from holesim.plan.aiming import score_tee
from holesim.plan.conditions import Conditions
from holesim.plan.decision import as_played, decide
from holesim.plan.estimate import Estimate
from holesim.plan.evaluator import Evaluator
from holesim.plan.goal import MEAN
from holesim.plan.posterior_draws import errors_off, known_for_sure, posterior_draws
from holesim.plan.round_tees import find_tees
from holesim.plan.tee_plan import TeePlan
from holesim.player.player import POSTERIOR_DRAWS, SPREAD_SE, Player, Strike
from holesim.player.player_file import SPREAD_LIMITS, SPREAD_UNITS, STRIKE_LIMITS, STRIKE_UNITS
from holesim.shot.air import make_air
from holesim.shot.balls import SLOPES, make_ball
from holesim.shot.club_speeds import load_player
from holesim.units import DEGREE, MM
from tests.conftest import Run

Floats = NDArray[np.float64]
Read = Callable[..., Player]

UNSURE = """
usual = "up"
[measured]
drives = 40
[spread.se]
face_deg = 0.2
face_path_correlation = 0.2
miss_rate = 0.02
[strikes.up]
high_mm = 4
[strikes.up.se]
attack_deg = 0.6
face_deg = 0.5
[strikes.down.se]
attack_deg = 0.5
[strikes.down.spread]
path_deg = 1.5
[strikes.down.spread.se]
path_deg = 0.3
"""
SEEDS = 60


@pytest.fixture
def read(player_file: Callable[..., Path]) -> Read:
    """Return a function that reads a player from the text that follows the five required keys."""

    def call(text: str, *, speed: float = 106, handicap: float = 3) -> Player:
        return load_player(player_file(text, speed=speed, handicap=handicap))

    return call


def many(player: Player, seeds: int = SEEDS) -> list[Player]:
    return [golfer for seed in range(seeds) for golfer in posterior_draws(player, seed).golfers]


def of(golfers: Sequence[Player], label: str) -> list[Strike]:
    return [next(s for s in golfer.strikes if s.label == label) for golfer in golfers]


def values(strikes: Sequence[Strike], field: str) -> Floats:
    """Return a number of each strike, or of its spread."""
    own = field.removeprefix("spread.")
    return np.array([getattr(s if own == field else s.spread, own) for s in strikes])


# --- what is drawn --------------------------------------------------------------------------------


def test_the_same_seed_draws_the_same_golfers(read: Read) -> None:
    player = read("")
    first, again, other = (posterior_draws(player, seed) for seed in (4, 4, 5))
    assert len(first.golfers) == len(first.drag_slopes) == POSTERIOR_DRAWS == 32
    assert first.golfers == again.golfers
    assert (first.drag_slopes == again.drag_slopes).all()
    assert first.golfers != other.golfers
    # Golfers with the same ball stand together, and every ball is one of those known.
    assert (np.diff(first.drag_slopes) >= 0).all()
    assert np.isin(first.drag_slopes, SLOPES).all()


def test_what_a_bare_file_leaves_out_differs_as_golfers_do(read: Read) -> None:
    """The population's standard deviations, restated; attack has a truncated normal distribution."""
    player = read("")
    golfers = many(player)
    up, down = of(golfers, "up"), of(golfers, "down")
    for strikes, low, high in ((up, 2.0, 15.0), (down, -15.0, -1.0)):
        law = stats.truncnorm((low - 0.5) / 2.4, (high - 0.5) / 2.4, loc=0.5, scale=2.4)
        attack = values(strikes, "attack") / DEGREE
        assert attack.mean() == pytest.approx(law.mean(), abs=0.02)
        assert attack.std() == pytest.approx(law.std(), rel=0.03)
        # Loft follows two thirds of the deviation of the attack.
        for field, sd in (
            ("dynamic_loft", np.hypot(2, 1) * DEGREE),
            ("club_speed", 0.01 * player.club_speed),
            ("toe", 5 * MM),
            ("high", np.hypot(3, 3) * MM),
        ):
            drawn, usual = values(strikes, field), getattr(player.driver(strikes[0].name), field)
            if field == "dynamic_loft":
                drawn = drawn - 0.65 * (attack * DEGREE - player.driver(strikes[0].name).attack)
            assert drawn.mean() == pytest.approx(usual, abs=0.05 * sd)
            assert drawn.std() == pytest.approx(sd, rel=0.05)
    # The share of the variance that is common to a golfer's strikes.
    for field, share in (("dynamic_loft", 4 / 5), ("toe", 16 / 25), ("high", 1 / 2), ("club_speed", 0.0)):
        one, other = (values(strikes, field) for strikes in (up, down))
        if field == "dynamic_loft":
            one = one - 0.65 * values(up, "attack")
            other = other - 0.65 * values(down, "attack")
        assert np.corrcoef(one, other)[0, 1] == pytest.approx(share, abs=0.06)
    assert np.corrcoef(values(up, "attack"), values(down, "attack"))[0, 1] == pytest.approx(0, abs=0.06)


def test_the_size_of_errors_differs_by_a_quarter(read: Read) -> None:
    player = read("")
    golfers = many(player)
    up, down, wood = (of(golfers, label) for label in ("up", "down", "3-wood"))
    base = player.driver("up").spread
    for field in ("face", "path", "attack", "dynamic_loft", "speed", "toe", "high"):
        one, other, third = (
            np.log(values(strikes, f"spread.{field}") / getattr(base, field)) for strikes in (up, down, wood)
        )
        # A quarter for the golfer, as known from eight drives, and two strikes differ by 15 %.
        for drawn in (one, other, third):
            assert drawn.mean() == pytest.approx(0, abs=0.03)
            assert drawn.std() == pytest.approx(np.hypot(0.25, 0.15 / np.sqrt(2)), rel=0.05)
        assert (one - other).std() == pytest.approx(0.15, rel=0.05)
    correlation = values(up, "spread.face_path_correlation")
    slope = correlation / np.sqrt(1 - correlation**2)
    known = base.face_path_correlation / np.sqrt(1 - base.face_path_correlation**2)
    assert slope.mean() == pytest.approx(known, abs=0.02)
    assert slope.std() == pytest.approx(0.35 / np.sqrt(1 - base.face_path_correlation**2), rel=0.03)
    rate = values(up, "spread.miss_rate")
    # A beta distribution with the weight of forty drives, clipped above zero.
    sd = np.sqrt(base.miss_rate * (1 - base.miss_rate) / 41)
    assert rate.min() > 0
    assert (rate > base.miss_rate).mean() == pytest.approx(0.5, abs=0.02)
    assert np.percentile(rate, 84.13) - base.miss_rate == pytest.approx(sd, rel=0.05)


def test_standard_errors_stated_stand_for_the_population(read: Read) -> None:
    unsure = read(UNSURE)
    golfers = many(unsure)
    up, down = of(golfers, "up"), of(golfers, "down")
    for drawn, value, se in (
        (values(up, "attack"), unsure.driver("up").attack, 0.6 * DEGREE),
        (values(down, "attack"), unsure.driver("down").attack, 0.5 * DEGREE),
        (values(up, "face"), 0.0, 0.5 * DEGREE),
    ):
        assert drawn.mean() == pytest.approx(value, abs=0.02 * se)
        assert drawn.std() == pytest.approx(se, rel=0.03)
    # A golfer's spread differs from strike to strike; a spread stated for one strike does not.
    face = values(up, "spread.face") / unsure.driver("up").spread.face
    assert face.std() == pytest.approx(
        np.hypot(0.2 * DEGREE / unsure.driver("up").spread.face, 0.15 / np.sqrt(2)), rel=0.05
    )
    path = values(down, "spread.path")
    assert path.mean() == pytest.approx(1.5 * DEGREE, abs=0.01 * DEGREE)
    assert path.std() == pytest.approx(0.3 * DEGREE, rel=0.03)
    # The path goes with the attack where a swing line is stated; else the golfer lines up for it to stay.
    assert values(up, "path") == pytest.approx(unsure.driver("up").path)
    stated = many(read(UNSURE.replace("[strikes.up]\n", "[strikes.up]\nswing_line_deg = 3\n")))
    slope = np.polyfit(values(of(stated, "up"), "attack"), values(of(stated, "up"), "path"), 1)[0]
    assert slope == pytest.approx(-1 / np.tan(47.5 * DEGREE), rel=0.03)


def test_a_number_typed_is_never_moved(read: Read) -> None:
    typed = {
        "club_speed": "club_speed_mph = 107",
        "attack": "attack_deg = 4.2",
        "dynamic_loft": "dynamic_loft_deg = 14.4",
        "face": "face_deg = 0.4",
        "swing_line": "swing_line_deg = 2.5",
        "toe": "toe_mm = -3",
        "high": "high_mm = 5.5",
    }
    for field, line in typed.items():
        player = read(f"[strikes.up]\n{line}\n[strikes.down]\n")
        assert set(values(of(many(player, 4), "up"), field)) == {getattr(player.driver("up"), field)}
        if field not in ("face", "swing_line"):
            assert len(set(values(of(many(player, 4), "down"), field))) > 100
    # A spread typed for one strike is not moved; typed for the golfer it still differs by the strike.
    own = read("[strikes.up.spread]\nface_deg = 2\n")
    assert set(values(of(many(own, 4), "up"), "spread.face")) == {2 * DEGREE}
    golfer = read("[spread]\nface_deg = 2\n")
    face = np.log(values(of(many(golfer), "up"), "spread.face") / (2 * DEGREE))
    assert face.std() == pytest.approx(0.15 / np.sqrt(2), rel=0.05)


def test_a_golfer_known_for_sure_is_one(read: Read) -> None:
    known = known_for_sure(read(UNSURE))
    found = posterior_draws(known, 3)
    assert all(golfer == known for golfer in found.golfers)
    assert len(set(found.drag_slopes.tolist())) == 1


def test_how_errors_go_together_is_read_from_the_file(read: Read) -> None:
    off = [round(0.125 * k - 2, 3) for k in range(POSTERIOR_DRAWS)]
    stated = f'{UNSURE}[likely]\n"strikes.up.attack_deg" = {off}\n"strikes.up.face_deg" = {off}\n'
    player = read(stated)
    up = of(posterior_draws(player, 1).golfers, "up")
    attacks, faces = values(up, "attack") / DEGREE, values(up, "face") / DEGREE
    # Golfers stand in the order of their balls, and each keeps the numbers that belong together.
    assert np.sort(attacks) == pytest.approx(player.driver("up").attack / DEGREE + 0.6 * np.array(off))
    assert faces / 0.5 == pytest.approx((attacks - player.driver("up").attack / DEGREE) / 0.6)


def test_no_draw_is_beyond_what_a_file_may_state(read: Read) -> None:
    spread = {key: (high - low) / 2 for key, (low, high) in SPREAD_LIMITS.items()}
    strike = {key: (high - low) / 2 for key, (low, high) in STRIKE_LIMITS.items()}
    text = "[spread.se]\n" + "".join(f"{key} = {se}\n" for key, se in spread.items())
    text += "[strikes.up.se]\n" + "".join(f"{key} = {se}\n" for key, se in strike.items())
    drawn = of(many(read(text), 20), "up")
    for units, limits, place in (
        (STRIKE_UNITS, STRIKE_LIMITS, ""),
        (SPREAD_UNITS, SPREAD_LIMITS, "spread."),
    ):
        for key, (low, high) in limits.items():
            field, unit = units[key]
            found = values(drawn, f"{place}{field}") / unit
            assert low - 1e-9 <= found.min() < found.max() <= high + 1e-9
            assert found.max() == pytest.approx(high)


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        ('"strikes.up.atack_deg" = [{}]', "did you mean strikes.up.attack_deg?"),
        ('"strikes.up.dynamic_loft_deg" = [{}]', "has no standard error"),
        ('"strikes.up.attack_deg" = [0.1, 0.2]', "32"),
        ('"strikes.up.attack_deg" = [{}00]', "45"),
    ],
)
def test_likely_that_makes_no_sense_is_one_line(
    lines: str, said: str, player_file: Callable[[str], Path], run: Run
) -> None:
    all_of_them = ", ".join(["1.0"] * (POSTERIOR_DRAWS - 1) + ["1"])
    path = player_file(f"{UNSURE}[likely]\n{lines.format(all_of_them)}\n")
    code, _, heard = run("check", str(path))
    assert code == 2
    assert said in heard
    assert heard.count("\n") == 1


def test_errors_off_give_draws_back() -> None:
    draws = np.random.default_rng(3).normal(5, 2, 2000)
    off = errors_off(draws)
    assert len(off) == POSTERIOR_DRAWS
    assert 5 + 2 * off[0] == pytest.approx(draws[0], abs=0.2)


# --- what does not depend on what -----------------------------------------------------------------


def test_a_club_more_or_another_number_makes_no_other_golfers(read: Read) -> None:
    bare = posterior_draws(read("[strikes.up]\n[strikes.down]\n"), 7)
    for text in (
        '[strikes.up]\n[strikes.down]\n[clubs."2-iron"]\n[clubs.spoon]\n',
        "[strikes.up]\n[strikes.down]\n[strikes.level]\n",
        "[strikes.up]\nface_deg = 1\ntee_height_mm = 55\n[strikes.down]\n",
        "[strikes.up]\n[strikes.down]\nattack_deg = -3\n",
    ):
        other = posterior_draws(read(text), 7)
        assert (other.drag_slopes == bare.drag_slopes).all()
        for label in ("up", "3-wood", "wedge"):
            ours, theirs = of(bare.golfers, label), of(other.golfers, label)
            assert [s.spread for s in ours] == [s.spread for s in theirs]
            for field in ("attack", "dynamic_loft", "toe", "high", "club_speed"):
                assert (values(ours, field) == values(theirs, field)).all()
    # The numbers typed themselves are moved, and nothing else of that strike.
    typed = posterior_draws(read("[strikes.up]\ntoe_mm = 0\n[strikes.down]\n"), 7)
    ours, theirs = of(bare.golfers, "up"), of(typed.golfers, "up")
    assert not (values(ours, "toe") == values(theirs, "toe")).any()
    assert (values(ours, "high") == values(theirs, "high")).all()


def test_what_is_common_to_strikes_goes_with_no_strikes_name(read: Read) -> None:
    """With level instead of up the golfer is the same but for the strike's own part."""
    pairs = [
        posterior_draws(read(f"[strikes.{name}]\n[strikes.down]\nattack_deg = -3\n"), 7)
        for name in ("up", "level")
    ]
    ours, theirs = (of(p.golfers, "down") for p in pairs)
    assert ours == theirs
    # In the file they may come in any order.
    text = "[strikes.up]\n[strikes.down]\n", "[strikes.down]\n[strikes.up]\n"
    first, second = (posterior_draws(read(one), 7) for one in text)
    for label in ("up", "down", "5-wood"):
        assert of(first.golfers, label) == of(second.golfers, label)


# --- the plan -------------------------------------------------------------------------------------


def planned(
    course: Course,
    player: Player,
    holes: Sequence[int],
    draws: int,
    conditions: Conditions | None = None,
    *,
    seed: int = 1,
) -> list[TeePlan]:
    """Plan some holes as `make_plan` does, without sensitivities."""
    conditions = conditions or Conditions(air=make_air())
    evaluator = Evaluator(course, player, conditions, MEAN, draws, seed)
    plans = []
    for hole, tee in find_tees(course, holes, None):
        found = score_tee(evaluator, evaluator.on_tee(hole, tee, evaluator.value_hole(hole)))
        plans.append(decide(hole, tee, tuple(a.plan for a in found), draws, player.usual, MEAN))
    return as_played(plans, player)[0]


def up_over_down(plan: TeePlan) -> Estimate:
    mine = {s.label: s for s in plan.strikes}
    return mine["up"].over(mine["down"])


HOLES = (1, 4, 9, 18)


def only_drivers(player: Player) -> Player:
    return replace(player, strikes=player.drivers)


@pytest.mark.parametrize("text", [UNSURE, ""], ids=["measured", "bare"])
def test_the_interval_of_a_choice_holds_what_other_golfers_gain(
    read: Read, demo_course: Course, text: str
) -> None:
    """A golfer drawn by another seed may be the true one, too: so about nineteen in twenty."""
    player = only_drivers(read(text))
    found = [
        [up_over_down(plan) for plan in planned(demo_course, player, HOLES, 2048, seed=seed)]
        for seed in range(1, 11)
    ]
    held = [
        (np.abs(theirs.draws - ours.mean) <= ours.half).mean()
        for hole in zip(*found, strict=True)
        for ours in hole
        for theirs in hole
        if theirs is not ours
    ]
    assert 0.93 <= np.mean(held) <= 0.97
    assert all(over.se > 2 * over.sampling for hole in found for over in hole)


def test_the_gain_of_a_draw_is_that_of_the_same_golfer_planned_for_alone(
    read: Read, demo_course: Course
) -> None:
    """In a plan all draws share one aim; planned for alone, each has its own and gains nearly the same."""
    player = only_drivers(read(""))
    (plan,) = planned(demo_course, player, [1], 8192)
    ours = up_over_down(plan).draws
    found = posterior_draws(player, 1)
    alone = []
    for golfer, slope in zip(found.golfers[::2], found.drag_slopes.tolist()[::2], strict=True):
        conditions = Conditions(air=make_air(), ball=make_ball(slope))
        (true,) = planned(demo_course, known_for_sure(golfer), [1], 2048, conditions)
        alone.append(up_over_down(true).mean)
    assert np.corrcoef(ours[::2], alone)[0, 1] > 0.95
    assert np.std(alone) == pytest.approx(ours[::2].std(), rel=0.15)


def _as_sure(strike: Strike, share: float) -> Strike:
    """Return a strike with this share of its standard errors, and all else known for sure."""
    spread = replace(
        strike.spread,
        se={name: share * se for name, se in strike.spread.se.items()},
        assumed=frozenset(),
        own=frozenset(SPREAD_SE),
    )
    se = {name: share * se for name, se in strike.se.items()}
    return replace(strike, se=se, assumed=frozenset(), spread=spread)


def test_more_drives_make_a_choice_surer(read: Read, demo_course: Course) -> None:
    player = only_drivers(read(UNSURE))
    sure = known_for_sure(player)
    found = []
    for share in (1.0, 0.5):
        golfer = replace(sure, strikes=tuple(_as_sure(s, share) for s in player.strikes))
        found.append([up_over_down(plan) for plan in planned(demo_course, golfer, HOLES, 4096)])
    for before, after in zip(*found, strict=True):
        assert after.half < 0.7 * before.half


@pytest.mark.parametrize(
    ("handicap", "speed"), [(8, 98), (8, 102), (12, 95), (6, 104)], ids=lambda value: f"{value}"
)
def test_naming_the_usual_clubs_changes_nothing(
    read: Read, demo_course: Course, handicap: float, speed: float
) -> None:
    """Everyone has a whole bag: a file that names five of the usual clubs describes the same golfer."""
    named = "".join(f'[clubs."{club}"]\n' for club in ("3-wood", "5-wood", "4-hybrid", "5-iron", "7-iron"))
    bare, listed = (
        planned(demo_course, read(text, speed=speed, handicap=handicap), (4, 5, 13, 14), 1024)
        for text in ("", named)
    )
    for one, other in zip(bare, listed, strict=True):
        assert one.choice.label == other.choice.label
        assert one.choice.strokes == pytest.approx(other.choice.strokes, abs=0.02)
        same = {s.label: s for s in other.strikes}
        assert {s.label for s in one.strikes} == set(same)
        for strike in one.strikes:
            assert strike.strokes == pytest.approx(same[strike.label].strokes, abs=0.02)
