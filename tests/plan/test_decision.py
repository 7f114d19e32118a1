"""The rule of every choice, the strike for the day, and the totals of a round."""

from dataclasses import replace

import numpy as np
import pytest

from holesim.plan.decision import as_played, day_strike, kept_to, least_loss, round_totals
from holesim.plan.explain import day_text, verdict
from holesim.player.player import POSTERIOR_DRAWS, Player
from tests.plan.tee_plans import golfers, tee_plan

CLOSE = 0.02  # strokes


@pytest.fixture
def one_way(amateur: Player) -> Player:
    return replace(amateur, can_choose=False, usual=None)


# --- the rule -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("more", "usual", "chosen"),
    [
        (0.019, "down", "down"),
        (0.021, "down", "up"),
        (0.5, "down", "up"),
        (0.0, "down", "down"),
        (0.0001, None, "up"),
        (0.0001, "level", "up"),  # which is not among the strikes
        (0.0001, "up", "up"),
    ],
)
def test_the_usual_strike_is_kept_where_it_costs_hardly_more(
    more: float, usual: str | None, chosen: str
) -> None:
    losses = {"up": golfers(4.5, 0.3, 1), "down": golfers(4.5 + more, 0.3, 2)}
    assert least_loss(losses, usual, CLOSE) == chosen


def test_nothing_but_the_mean_decides() -> None:
    """Neither how sure it is nor the order of the strikes matters."""
    losses = {"down": golfers(4.5, 2.0), "up": golfers(4.49, 3.0, 5), "wood": golfers(4.52, 0.0)}
    assert least_loss(losses, None, CLOSE) == "up"
    assert least_loss(dict(reversed(losses.items())), None, CLOSE) == "up"


def test_a_tee_has_a_choice_a_rival_and_a_chance() -> None:
    plan = tee_plan(1, 4, up=golfers(4.5), down=golfers(4.6, 0.2), wood=golfers(4.7))
    assert plan.choice.label == "up"
    assert plan.rival is not None
    assert plan.rival.label == "down"
    # Golfers differ by 0.2, and their mean has an error too: Student's t at 0.1/(0.2·√(33/32)).
    assert plan.chance == pytest.approx(0.688, abs=0.003)
    assert plan.close
    assert verdict(plan).startswith("a toss-up, 69 in 100")
    assert plan.difference is not None
    assert (plan.difference.first, plan.difference.second) == ("up", "down")
    assert plan.difference.loss.mean == pytest.approx(-0.1)
    sure = tee_plan(1, 4, up=golfers(4.5), down=golfers(4.6, 0.01))
    assert not sure.close
    assert verdict(sure) == "nearly sure, over 99 in 100"


def test_a_sure_difference_may_be_too_small_to_matter() -> None:
    plan = tee_plan(1, 4, "down", up=golfers(4.5), down=golfers(4.51, 0.001))
    assert plan.choice.label == "down"
    assert plan.chance < 0.01
    assert plan.close
    assert verdict(plan).endswith("and too little to matter")


def test_a_tee_with_one_strike_has_no_rival() -> None:
    plan = tee_plan(1, 4, "up", up=golfers(4.5))
    assert (plan.rival, plan.difference, plan.over_rival, plan.chance, plan.close) == (
        None, None, None, 1.0, False,
    )  # fmt: skip


# --- the day --------------------------------------------------------------------------------------


def test_par_threes_do_not_count_for_the_day(one_way: Player) -> None:
    long = tee_plan(1, 4, up=golfers(4.5), down=golfers(4.6))
    short = tee_plan(2, 3, up=golfers(4.0), down=golfers(3.0))
    day = day_strike([long, short], one_way)
    assert (day.strike, day.rival) == ("up", "down")
    assert day.over is not None
    assert day.over.mean == pytest.approx(-0.1)
    # On a course of par threes alone they do.
    assert day_strike([short], one_way).strike == "down"


@pytest.mark.parametrize(("more", "strike"), [(0.019, "down"), (0.021, "up")])
def test_the_day_keeps_the_usual_strike_where_the_round_costs_hardly_more(
    one_way: Player, more: float, strike: str
) -> None:
    plans = [tee_plan(k, 4, up=golfers(4.5), down=golfers(4.5 + more / 3)) for k in (1, 2, 3)]
    assert day_strike(plans, replace(one_way, usual="down")).strike == strike
    assert day_strike(plans, one_way).strike == "up"


def test_the_day_counts_a_club_where_it_beats_the_driver(one_way: Player) -> None:
    """Down costs half a stroke more on the first hole, but the wood is hit there instead."""
    first = tee_plan(1, 4, up=golfers(4.5), down=golfers(5.0), wood=golfers(4.52))
    other = tee_plan(2, 4, up=golfers(4.6), down=golfers(4.5))
    plans, day = as_played([first, other], one_way)
    assert day is not None
    assert day.strike == "down"
    assert day.over is not None
    assert day.over.mean == pytest.approx(-0.08)
    assert [plan.choice.label for plan in plans] == ["wood", "down"]
    assert all(plan.kept for plan in plans)
    assert "down all day: nearly sure, over 99 in 100, 0.08 strokes a round better than up" in day_text(day)


def test_a_golfer_who_can_choose_chooses_by_the_hole(amateur: Player) -> None:
    plans = [tee_plan(1, 4, up=golfers(4.5), down=golfers(4.6)), tee_plan(2, 4, up=golfers(4.5))]
    played, day = as_played(plans, replace(amateur, can_choose=True))
    assert (played, day) == (plans, None)


def test_a_golfer_of_one_strike_hits_it_all_day(one_way: Player) -> None:
    player = replace(one_way, strikes=(one_way.driver("up"),))
    day = day_strike([tee_plan(1, 4, up=golfers(4.5))], player)
    assert (day.strike, day.rival, day.over) == ("up", None, None)
    assert day_text(day) == "up all day, the only strike"


def test_for_a_golfer_of_one_strike_the_rival_is_another_club() -> None:
    plan = tee_plan(1, 4, up=golfers(4.5), down=golfers(4.6), wood=golfers(4.9))
    kept = kept_to(plan, "down")
    assert kept.choice.label == "down"
    assert kept.rival is not None
    assert kept.rival.label == "wood"
    assert kept.strikes == plan.strikes


# --- the round ------------------------------------------------------------------------------------


def test_totals_are_sums_of_policies_over_the_same_golfers(one_way: Player) -> None:
    plans = [
        tee_plan(1, 4, up=golfers(4.5, 0.3, 1), down=golfers(4.6, 0.3, 2)),
        tee_plan(2, 4, up=golfers(4.9, 0.3, 3), down=golfers(4.5, 0.3, 4)),
        tee_plan(3, 3, iron=golfers(3.1, 0.1, 5), hybrid=golfers(3.3, 0.1, 6)),
    ]
    played, day = as_played(plans, one_way)
    assert day is not None
    assert day.strike == "down"
    totals = round_totals(played)
    assert {policy: total.strokes for policy, total in totals.items()} == pytest.approx(
        {
            "always up": 4.5 + 4.9 + 3.1,
            "always down": 4.6 + 4.5 + 3.1,
            "best by hole": 4.5 + 4.5 + 3.1,
            "this plan": 4.6 + 4.5 + 3.1,
        }
    )
    over = totals["always up"].over_plan
    assert over.mean == pytest.approx(0.3)
    first, second = golfers(4.5, 0.3, 1) - golfers(4.6, 0.3, 2), golfers(4.9, 0.3, 3) - golfers(4.5, 0.3, 4)
    by_golfer = (first + second)[:, 0]
    assert over.draws == pytest.approx(by_golfer)
    assert over.se == pytest.approx(by_golfer.std(ddof=1) * np.sqrt(1 + 1 / POSTERIOR_DRAWS))
    assert totals["this plan"].over_plan.se == 0


def test_a_policy_that_some_tee_lacks_is_left_out() -> None:
    plans = [
        tee_plan(1, 4, up=golfers(4.5), down=golfers(4.6)),
        tee_plan(2, 4, up=golfers(4.5), level=golfers(4.6)),
    ]
    assert set(round_totals(plans)) == {"always up", "best by hole", "this plan"}
