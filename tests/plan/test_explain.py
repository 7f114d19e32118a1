"""What a plan's numbers say in golfers' words, each sentence worked by hand."""

from dataclasses import replace

import pytest

from holesim.plan.doubt import Measuring
from holesim.plan.explain import (
    compare_strikes,
    doubt_text,
    measuring_text,
    other_flight,
    reason,
    sureness_of,
    table_text,
    target_text,
    verdict,
    warning,
    why,
    wind_text,
)
from holesim.plan.hole_wind import Flip, HoleWind
from holesim.plan.tee_plan import Doubt, TableComparison, TeePlan
from holesim.scoring.expected_strokes import NextShot
from holesim.shot.relief import Lie
from holesim.units import MPH, YARD
from tests.plan.tee_plans import golfers, tee_plan

NONE = dict.fromkeys(("fairway", "green", "rough", "heavy_rough", "sand", "trees", "penalty", "out"), 0.0)


def compared(
    longer: float, shares: dict[str, float], others: dict[str, float], *, metric: bool = False
) -> str:
    return compare_strikes(
        "down", longer=longer, shares=NONE | shares, other_shares=NONE | others, metric=metric
    )


# --- strikes compared -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("yards", "shares", "others", "said"),
    [
        # 10 in 100 more fairways are worth 0.025 strokes, 7 in 100 fewer in a penalty area 0.084.
        (10, {"fairway": 0.6, "penalty": 0.05}, {"fairway": 0.5, "penalty": 0.12},
         "10 yd longer than down, and 7 in 100 fewer in a penalty area"),
        # 5 in 100 more out of bounds cost 0.1 strokes, more than the fairways are worth.
        (10, {"fairway": 0.6, "out": 0.05}, {"fairway": 0.5},
         "10 yd longer than down, but 5 in 100 more out of bounds"),
        # 1 in 100 more out of bounds cost 0.02 strokes, less than the fairways are worth.
        (10, {"fairway": 0.6, "out": 0.01}, {"fairway": 0.5},
         "10 yd longer than down, and 10 in 100 more on the fairway"),
        (-10, {"trees": 0.1}, {"trees": 0.2},
         "10 yd shorter than down, but 10 in 100 fewer blocked by trees"),
        # The shorter one is hit for what it saves, whatever it costs.
        (-10, {"fairway": 0.6, "out": 0.05}, {"fairway": 0.5},
         "10 yd shorter than down, but 10 in 100 more on the fairway"),
        (0.4, {"sand": 0.0}, {"sand": 0.1}, "as long as down, and 10 in 100 fewer in sand"),
        (3, {"green": 0.1}, {"heavy_rough": 0.1}, "3 yd longer than down, and 10 in 100 more on the green"),
        # What is less than one in a hundred is not said.
        (10, {"penalty": 0.004}, {}, "10 yd longer than down"),
        (10, {"fairway": 0.004}, {}, "10 yd longer than down"),
    ],
)  # fmt: skip
def test_what_speaks_for_a_strike_against_another(
    yards: float, shares: dict[str, float], others: dict[str, float], said: str
) -> None:
    assert compared(yards * YARD, shares, others) == said


def test_strikes_compared_in_metres() -> None:
    assert (
        compared(10.0, {}, {"out": 0.02}, metric=True)
        == "10 m longer than down, and 2 in 100 fewer out of bounds"
    )


def plan_of(*, longer: float = 10 * YARD, beyond: bool = False) -> TeePlan:
    """Return a plan whose choice, up, is nearly sure, and so much longer than down."""
    plan = tee_plan(1, 4, up=golfers(4.5), down=golfers(4.6, 0.01))
    choice = replace(plan.choice, total=220.0 + longer, shares=NONE | {"fairway": 0.7}, beyond=beyond)
    assert plan.rival is not None
    return replace(
        plan, choice=choice, rival=replace(plan.rival, total=220.0, shares=NONE | {"fairway": 0.5})
    )


def test_the_reason_is_how_sure_it_is_and_what_speaks_for_the_choice() -> None:
    plan = plan_of()
    assert why(plan) == "10 yd longer than down, and 20 in 100 more on the fairway"
    assert reason(plan) == f"nearly sure, over 99 in 100; up: {why(plan)}"
    assert reason(plan, metric=True).endswith("up: 9 m longer than down, and 20 in 100 more on the fairway")


def test_what_is_wrong_with_even_the_best_choice() -> None:
    assert warning(plan_of()) == ""
    beyond = plan_of(beyond=True)
    assert warning(beyond) == "it would take an aim off the hole, so a shorter club is the answer"
    assert verdict(beyond) == f"nearly sure, over 99 in 100; {warning(beyond)}"
    unfit = replace(beyond, fits=False)
    assert (sureness_of(unfit), warning(unfit)) == ("", "no club fits this hole")
    assert verdict(unfit) == "no club fits this hole"


def test_the_only_strike_has_nothing_to_be_sure_of() -> None:
    plan = tee_plan(1, 4, up=golfers(4.5))
    assert (sureness_of(plan), warning(replace(plan, choice=replace(plan.choice, beyond=True)))) == ("", "")
    assert reason(plan) == "up: the only strike"


# --- wind, doubt, and a table ---------------------------------------------------------------------


def test_winds_that_would_change_a_choice_are_named_the_lightest_first() -> None:
    plan = plan_of()
    assert wind_text(plan) == ""
    flips = (
        Flip("down", "hurting", 14 * MPH),
        Flip("wood", "helping", 6 * MPH),
        Flip("down", "helping", 9 * MPH, drops=True),
    )
    windy = replace(plan, wind=HoleWind(10 * MPH, 0.0, 0.0), flips=flips)
    assert windy.wind is not None
    changed = "felt wind that would change it: "
    all_of_them = "wood from 6 mph helping, down under 9 mph helping or from 14 mph hurting"
    assert wind_text(windy) == f"wind {windy.wind.text()}; {changed}{all_of_them}"
    assert wind_text(replace(windy, wind=None), most=1) == f"{changed}wood from 6 mph helping"
    assert wind_text(replace(windy, flips=())) == f"wind {windy.wind.text()}"


def test_what_a_choice_hangs_on_and_what_would_tell() -> None:
    assert doubt_text(None) == ""
    assert doubt_text(Doubt("")) == "least certain: the drives sampled (--precision adds some)"
    assert doubt_text(Doubt("how the ball flies")) == (
        "least certain: how the ball flies (measured carries of both, with your own ball, would tell)"
    )
    assert (
        doubt_text(Doubt("the spread")) == "least certain: the spread (20 measured drives of each would tell)"
    )


def test_what_a_table_by_lie_and_distance_would_choose() -> None:
    """From 137.16 m, 150 yards; the excess of the table is 0.12 strokes after down and 0.02 after up."""
    found = TableComparison("up", "down", 0.02, 0.12, 150 * YARD, "left", "trees")
    head = "a table by lie and distance would choose down"
    assert table_text(None) == ""
    assert table_text(found) == (
        f"{head}: it leaves 150 yd, but from the left trees stand before the green (+0.12; after up +0.02)"
    )
    assert table_text(replace(found, side="", cause="reach")) == (
        f"{head}: it leaves 150 yd, but the green is out of reach (+0.12; after up +0.02)"
    )
    assert "but from the right a penalty area lies before" in table_text(
        replace(found, side="right", cause="water")
    )
    assert "but from the left the next shot is harder than the table says" in table_text(
        replace(found, cause="")
    )
    # Where the hole is easier after the choice by more than it is harder after the other, that is the reason.
    assert table_text(replace(found, more_after_choice=-0.2)) == (
        f"{head}, but from where up finishes the hole plays 0.20 strokes easier than the table says"
    )
    assert "it leaves 150 yd" in table_text(replace(found, more_after_choice=-0.11))


def test_what_it_is_worth_to_measure() -> None:
    saved = {20: 0.03, 40: 0.04}
    assert measuring_text(Measuring(given_away=0.049, saved=saved)) == ""
    assert measuring_text(Measuring(given_away=0.05, saved=saved)) == (
        "not knowing this golfer better costs 0.05 strokes a round; "
        "measuring each strike would save: 20 drives 0.03, 40 drives 0.04"
    )


def test_only_another_ball_flight_is_mentioned() -> None:
    assert (other_flight("modern"), other_flight("older")) == ("", ", an older ball's flight")


# --- the next shot --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("target", "said"),
    [
        ((0.0, 150.0), "at the flag"),
        ((0.3, 149.7), "at the flag"),
        ((0.48, 150.0), "1 yd right of the flag"),  # 0.52 yards
        ((5.0, 140.0), "5 yd right, 11 yd short of the flag"),  # 5.47 and 10.94 yards
        ((-5.0, 160.0), "5 yd left, 11 yd long of the flag"),
        ((-5.0, 150.0), "5 yd left of the flag"),
        ((0.0, 113.0), "short, leaving 40 yd"),  # 37 m, over 40 yards
        ((0.0, 114.0), "39 yd short of the flag"),
        ((0.0, 100.0), "short, leaving 55 yd"),
        ((30.0, 110.0), "short, leaving 55 yd"),  # 50 m
    ],
)
def test_a_target_as_seen_from_the_ball(target: tuple[float, float], said: str) -> None:
    """From 150 m due south of the flag."""
    assert target_text(NextShot(Lie.FAIRWAY, 0.0, 0.0, 3.0, target), (0.0, 150.0)) == said


def test_right_of_a_flag_to_the_west_is_north() -> None:
    shot = NextShot(Lie.FAIRWAY, 150.0, 0.0, 3.0, (10.0, 5.0))
    assert target_text(shot, (0.0, 0.0)) == "5 yd right, 11 yd short of the flag"
    assert target_text(shot, (0.0, 0.0), metric=True) == "5 m right, 10 m short of the flag"
