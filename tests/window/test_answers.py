"""The one plain line of a tee, as the page shows it."""

from dataclasses import replace

import pytest

from holesim.errors import InputError
from holesim.plan.decision import decide, kept_to
from holesim.plan.goal import BIRDIE, MEAN, PAR, Goal
from holesim.plan.tee_plan import TeePlan
from holesim.player.player import StrikeName
from holesim.window.planning.answers import choice_line
from holesim.window.planning.questions import read_question
from tests.conftest import straight_course
from tests.plan.tee_plans import golfers, strike


def tee_plan(more: float, usual: StrikeName | None = None, goal: Goal = MEAN) -> TeePlan:
    """Return a choice between up and down, which loses `more` than up."""
    hole = straight_course().holes[0]
    up, down = strike("up", golfers(0.5, 0.001)), strike("down", golfers(0.5 + more, 0.001, 2))
    return decide(hole, hole.tees[0], (up, down), 4096, usual, goal)


@pytest.mark.parametrize(
    ("more", "usual", "goal", "line"),
    [
        (0.08, None, MEAN, "up saves 0.08 strokes: nearly sure, over 99 in 100"),
        (0.013, "down", MEAN, "down, your usual strike: up would save 0.01 strokes, too little to matter"),
        (0.001, "down", MEAN, "down or up: nothing between them, so down, your usual strike"),
        (0.021, None, PAR, "up makes 2.1 more pars in 100: nearly sure, over 99 in 100"),
        (0.006, "down", PAR,
         "down, your usual strike: up would make 0.6 more pars in 100, too little to matter"),
        (0.006, "down", BIRDIE,
         "down, your usual strike: up would make 0.6 more birdies in 100, too little to matter"),
    ],
)  # fmt: skip
def test_what_the_choice_saves(more: float, usual: StrikeName | None, goal: Goal, line: str) -> None:
    assert choice_line(tee_plan(more, usual, goal)) == line


def test_a_question_of_no_strikes_is_refused() -> None:
    wind = {"mph": 12.0, "from_deg": 90.0}
    asked = {"n": 2, "ask": "tee", "hole": 1, "tee": "back", "wind": wind, "strikes": []}
    with pytest.raises(InputError, match=r"question: strikes: has 0 of at least 1 entries"):
        read_question(asked)


@pytest.mark.parametrize("goal", [MEAN, PAR, BIRDIE])
def test_where_nothing_is_between_two_strikes_no_saving_is_named(goal: Goal) -> None:
    plan = tee_plan(0.0004, None, goal)
    hundredths = f"{100 * plan.chance:.0f}" if plan.chance <= 0.99 else "over 99"
    assert choice_line(plan) == f"up or down: nothing between them (up {hundredths} in 100)"


def test_a_strike_is_kept_for_the_day() -> None:
    assert choice_line(kept_to(tee_plan(0.15), "down")) == "down, kept for the day"


def test_a_choice_that_takes_an_aim_off_the_hole_says_so() -> None:
    plan = tee_plan(0.001, "down")
    off = replace(plan, choice=replace(plan.choice, beyond=True))
    assert choice_line(off).endswith("; it would take an aim off the hole, so a shorter club is the answer")
