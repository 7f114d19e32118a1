"""What a captain should know of the players' files: strikes hit all day, and handicaps that do not fit."""

from dataclasses import replace

import numpy as np
import pytest

from holesim.player.make_player import typical_player
from holesim.team.roster_checks import DayStrikePlayer, find_day_strikes, find_misfits
from holesim.team.roster_scores import RosterScores, rank_strikes
from holesim.team.strike_scores import StrikeScores
from holesim.team.team_file import RatingFile
from holesim.team.tees_and_handicaps import find_tees
from holesim.units import MPH
from tests.team.teams import chances, in_a_row, strike_scores, team_of

COURSE = in_a_row(*((4, 400.0),) * 18)
PLAYER = typical_player("Una Thessaly", "man", 12.0, 80 * MPH)


def round_of(strokes: dict[str, float]) -> list[tuple[StrikeScores, ...]]:
    """Return a round by strikes after which every hole takes so many strokes on average, four or five."""
    strikes = [strike_scores(label, chances(0, 0, 0, 5 - mean, mean - 4)) for label, mean in strokes.items()]
    return [tuple(strikes)] * 18


def day_strike(strokes: dict[str, float], *, can_choose: bool = False) -> list[DayStrikePlayer]:
    player = replace(PLAYER, can_choose=can_choose, usual="down")
    return list(find_day_strikes([player], [round_of(strokes)], COURSE.holes))


def test_the_strike_hit_all_day_is_the_best_over_the_round() -> None:
    (kept,) = day_strike({"up": 4.5, "down": 4.6})
    assert kept.choice is not None
    assert kept.choice.over_usual is not None
    assert kept.choice.label == "up"
    assert kept.choice.over_usual.mean == pytest.approx(-1.8)
    (kept,) = day_strike({"up": 4.6, "down": 4.5})
    assert kept.choice is not None
    assert (kept.choice.label, kept.choice.over_usual) == ("down", None)
    assert day_strike({"up": 4.5, "down": 4.6}, can_choose=True) == []


@pytest.mark.parametrize(("rating", "fits"), [(75.0, False), (66.0, True), (58.0, False)])
def test_whose_handicap_does_not_fit_is_found(rating: float, *, fits: bool) -> None:
    """A mean of 81, by binomial chances of a standard deviation of 2.1: the better half's is 79.3."""
    team = replace(team_of(PLAYER), ratings={"back": RatingFile(course=rating, slope=113)})
    gross = rank_strikes(round_of({"up": 4.5}), replace(PLAYER, can_choose=True), COURSE.holes)
    tees = find_tees(COURSE, team, [PLAYER])
    found = list(find_misfits(RosterScores((PLAYER,), COURSE.holes, tees, (gross,), (0.0,)), team))
    index = 18 * 4.5 - 0.8 * np.sqrt(18 * 0.25) - rating
    assert [misfit.index for misfit in found] == ([] if fits else [pytest.approx(index)])
