"""Who a golfer may be: drawn as the file says, and heard of in the interval of a choice."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import stats

from holesim.course import Course
from holesim.decision import StrikePlan, difference_between, interval, more_drives
from holesim.goal import MEAN
from holesim.likely import errors_off, likely_players
from holesim.plan import Plan, make_plan
from holesim.player import LIKELY, Player, Strike, load_player
from holesim.units import DEGREE

from .conftest import Run

UNSURE = """
usual = "up"
[measured]
drives = 40
[spread.se]
face_deg = 0.2
face_path_correlation = 0.2
miss_rate = 0.02
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


@pytest.fixture
def unsure(player_file: Callable[[str], Path]) -> Player:
    return load_player(player_file(UNSURE))


@pytest.fixture(scope="module")
def unsure_plan(demo_course: Course, tmp_path_factory: pytest.TempPathFactory) -> Plan:
    path = tmp_path_factory.mktemp("unsure") / "player.toml"
    head = 'name = "A Golfer"\nhand = "right"\nsex = "man"\nhandicap_index = 3\nclub_speed_mph = 106\n'
    path.write_text(head + UNSURE)
    return make_plan(demo_course, load_player(path), holes=[1, 4, 9, 18], draws=1024)


def test_likely_players_are_as_far_off_as_the_standard_errors_say(unsure: Player) -> None:
    drawn = [p for seed in range(40) for p in likely_players(unsure, np.random.default_rng(seed))]
    up = [player.strikes[0] for player in drawn]
    down = [player.strikes[1] for player in drawn]
    for values, value, se in (
        ([s.attack for s in up], unsure.strikes[0].attack, 0.6 * DEGREE),
        ([s.face for s in up], 0.0, 0.5 * DEGREE),
        ([s.spread.face for s in up], unsure.strikes[0].spread.face, 0.2 * DEGREE),
        ([s.spread.path for s in down], 1.5 * DEGREE, 0.3 * DEGREE),
    ):
        assert np.mean(values) == pytest.approx(value, abs=0.02 * se)
        assert np.std(values) == pytest.approx(se, rel=0.03)
    # One number for both strikes where the file has one, and the path goes with the attack.
    assert all(a.spread.face == b.spread.face for a, b in zip(up, down, strict=True))
    assert {s.spread.path for s in up} == {unsure.strikes[0].spread.path}
    slope = np.polyfit([s.attack for s in up], [s.path for s in up], 1)[0]
    assert slope == pytest.approx(-1 / np.tan(47.5 * DEGREE), rel=0.03)


def test_what_is_known_for_sure_needs_no_likely_players(amateur: Player, demo_course: Course) -> None:
    assert likely_players(amateur, np.random.default_rng(1)) == ()
    tee = make_plan(demo_course, amateur, holes=[1], draws=256).tees[0]
    assert tee.difference is not None
    assert (tee.difference.high - tee.difference.low) / 2 == pytest.approx(tee.difference.sampling)


def test_how_errors_go_together_is_read_from_the_file(player_file: Callable[[str], Path]) -> None:
    off = [round(0.25 * k - 2, 2) for k in range(LIKELY)]
    stated = f'{UNSURE}[likely]\n"strikes.up.attack_deg" = {off}\n"strikes.up.face_deg" = {off}\n'
    player = load_player(player_file(stated))
    drawn = likely_players(player, np.random.default_rng(1))
    attacks = np.array([p.strikes[0].attack for p in drawn]) / DEGREE
    assert attacks == pytest.approx(player.strikes[0].attack / DEGREE + 0.6 * np.array(off))
    assert [p.strikes[0].face / DEGREE for p in drawn] == pytest.approx([0.5 * z for z in off])


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        ('"strikes.up.atack_deg" = [{}]', "did you mean strikes.up.attack_deg?"),
        ('"strikes.up.dynamic_loft_deg" = [{}]', "has no standard error"),
        ('"strikes.up.attack_deg" = [0.1, 0.2]', "16"),
        ('"strikes.up.attack_deg" = [{}0]', "8"),
    ],
)
def test_likely_that_makes_no_sense_is_one_line(
    lines: str, said: str, player_file: Callable[[str], Path], run: Run
) -> None:
    sixteen = ", ".join(["1.0"] * 15 + ["1"])
    path = player_file(f"{UNSURE}[likely]\n{lines.format(sixteen)}\n")
    code, _, heard = run("check", str(path))
    assert code == 2
    assert said in heard
    assert heard.count("\n") == 1


def test_errors_off_give_draws_back() -> None:
    draws = np.random.default_rng(3).normal(5, 2, 2000)
    off = errors_off(draws)
    assert len(off) == LIKELY
    assert 5 + 2 * off[0] == pytest.approx(draws[0], abs=0.2)


def test_an_interval_adds_both_doubts_as_welch_has_it() -> None:
    """Of the mean of one sample minus that of the other: scipy's, whose second sample we scale to match."""
    rng = np.random.default_rng(4)
    draws, players = rng.normal(0.3, 0.1, 16), rng.normal(0, 0.2, LIKELY)
    centred = (players - players.mean()) * np.sqrt(LIKELY)
    theirs = stats.ttest_ind(draws, centred, equal_var=False).confidence_interval(0.95)
    assert interval(draws, players) == pytest.approx((theirs.low, theirs.high))
    assert interval(draws) == pytest.approx(stats.t.interval(0.95, 15, draws.mean(), stats.sem(draws)))


def with_losses(plan: StrikePlan, loss: NDArray[np.float64], players: NDArray[np.float64]) -> StrikePlan:
    return replace(plan, loss=loss, by_player=players)


def test_more_drives_are_asked_for_where_they_would_tell(unsure_plan: Plan) -> None:
    one = unsure_plan.tees[0].strikes[0]
    nothing, rng = np.zeros(16), np.random.default_rng(5)
    apart = nothing + 0.1 + 1e-4 * rng.standard_normal(16)
    doubt = stats.norm.ppf((np.arange(LIKELY) + 0.5) / LIKELY)
    first = with_losses(one, nothing, np.zeros(LIKELY))

    def asked(sd: float, measured: int = 40) -> int:
        return more_drives(first, with_losses(one, apart, sd * doubt), measured, MEAN)

    # The half-width is t times the sd: 2.13 for fifteen degrees of freedom, and the sd of `doubt` is 0.97.
    assert asked(0.04) == 0  # told apart already
    assert asked(0.06) == 30  # 40 · (2.13 · 0.97 · 0.06 / 0.1)² = 61 drives in all
    assert asked(0.30) == 0  # some 1,500: not on one range session
    assert asked(0.06, measured=0) == 0
    assert (
        more_drives(first, with_losses(one, apart / 10, 0.006 * doubt), 40, MEAN) == 0
    )  # matters too little


def test_the_interval_of_a_choice_holds_what_likely_players_gain(
    unsure_plan: Plan, demo_course: Course
) -> None:
    """Others drawn from the same errors: 95 % intervals, so some nineteen in twenty."""
    player = unsure_plan.player
    held = []
    for other in likely_players(player, np.random.default_rng(99)):
        truth = make_plan(
            demo_course,
            replace(
                other,
                strikes=tuple(replace(s, se={}, spread=replace(s.spread, se={})) for s in other.strikes),
            ),
            holes=[1, 4, 9, 18],
            draws=512,
        )
        for tee, true in zip(unsure_plan.tees, truth.tees, strict=True):
            ours, theirs = ({s.strike: s for s in t.strikes} for t in (tee, true))
            said = difference_between(ours["up"], ours["down"])
            held.append(said.low <= theirs["up"].over(theirs["down"]) <= said.high)
    assert np.mean(held) >= 0.85
    widths = [
        (t.difference.high - t.difference.low) / 2 / t.difference.sampling
        for t in unsure_plan.tees
        if t.difference
    ]
    assert min(widths) > 2


def _as_sure(strike: Strike, share: float) -> Strike:
    """Return a strike whose standard errors are so much of what they were."""
    spread = replace(strike.spread, se={name: share * se for name, se in strike.spread.se.items()})
    return replace(strike, se={name: share * se for name, se in strike.se.items()}, spread=spread)


def test_more_drives_make_a_choice_surer(unsure_plan: Plan, demo_course: Course) -> None:
    strikes = tuple(_as_sure(strike, 0.5) for strike in unsure_plan.player.strikes)
    player = replace(unsure_plan.player, strikes=strikes)
    surer = make_plan(demo_course, player, holes=[1, 4, 9, 18], draws=1024)
    for before, after in zip(unsure_plan.tees, surer.tees, strict=True):
        assert before.difference is not None
        assert after.difference is not None
        assert after.difference.loss == before.difference.loss
        assert after.difference.high - after.difference.low < 0.7 * (
            before.difference.high - before.difference.low
        )


def test_the_plan_says_what_hangs_on_the_player(unsure_plan: Plan) -> None:
    content = unsure_plan.to_dict()["tees"]
    for tee, plan in zip(content, unsure_plan.tees, strict=True):
        assert tee["more_drives"] == plan.more_drives
        if plan.more_drives:
            assert f"measure {plan.more_drives} more drives" in plan.reason()
            assert plan.close
