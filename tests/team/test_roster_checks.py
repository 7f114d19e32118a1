"""What a captain is told of the members: clubs, strikes kept to, and handicaps that do not fit."""

from dataclasses import replace

import numpy as np
import pytest

from holesim.plan.sights import Mark, Sight
from holesim.player.make_player import typical_player
from holesim.player.player import Player
from holesim.team.roster_checks import check_roster
from holesim.team.roster_scores import RosterScores, all_day, allowed, tees_of
from holesim.team.strike_scores import DRAW_SETS, StrikeScores, on_scores
from holesim.team.team_file import RatingFile
from holesim.units import MPH
from tests.team.test_planner import in_a_row, team_of

COURSE = in_a_row(*((4, 400.0),) * 18)
PLAYER = typical_player("Una Thessaly", "man", 12.0, 80 * MPH)


def strike(label: str, strokes: float) -> StrikeScores:
    """Return a strike after which a hole takes so many strokes on average, four or five."""
    chances = np.zeros(14)
    chances[3:5] = 5 - strokes, strokes - 4
    spread = on_scores(chances) * np.ones((DRAW_SETS, 1))
    mark = Mark(Sight("the flag", 0.0, 150.0), 0.0)
    return StrikeScores(label=label, club="driver", mark=mark, clear=spread, trouble=np.zeros_like(spread))


def told(player: Player, strokes: dict[str, float], rating: float) -> list[str]:
    """Return what is told of a player whose strikes all take so many strokes on every hole."""
    team = replace(team_of(player), ratings={"back": RatingFile(course=rating, slope=113)})
    round_ = [tuple(strike(label, mean) for label, mean in strokes.items())] * 18
    field = RosterScores((player,), COURSE.holes, (allowed(round_, player, COURSE.holes),), (0.0,))
    return check_roster(field, team, tees_of(COURSE, team), [round_])


def test_who_keeps_to_one_strike_is_told_which_and_what_it_saves() -> None:
    kept = replace(PLAYER, can_choose=False, usual="down")
    (said, *_) = told(kept, {"up": 4.5, "down": 4.6}, 72)
    assert said.endswith("Una Thessaly up (not down: 1.8 strokes saved; nearly sure, over 99 in 100)")
    (said, *_) = told(kept, {"up": 4.6, "down": 4.5}, 72)
    assert said.endswith("Una Thessaly down")
    assert not any("all day" in said for said in told(replace(kept, can_choose=True), {"up": 4.5}, 72))


@pytest.mark.parametrize(("rating", "fits"), [(75.0, False), (66.0, True), (58.0, False)])
def test_whose_handicap_does_not_fit_is_told(rating: float, *, fits: bool) -> None:
    """A mean of 81, by binomial chances of a standard deviation of 2.1: the better half's is 79.3."""
    said = told(replace(PLAYER, can_choose=True), {"up": 4.5}, rating)
    index = 18 * 4.5 - 0.8 * np.sqrt(18 * 0.25) - rating
    expected = f"Una Thessaly's club speed makes an index of about {index:.0f}, not 12: "
    assert len(said) == (0 if fits else 1)
    assert all(one.startswith(expected) for one in said)


def test_on_a_course_of_par_3s_nobody_keeps_to_a_driver_strike() -> None:
    iron = replace(strike("7-iron", 4.5), club="7-iron")
    round_ = [(iron,)] * 9
    holes = in_a_row(*((3, 150.0),) * 9).holes
    assert all_day(round_, PLAYER, holes) is None
    assert allowed(round_, replace(PLAYER, can_choose=False), holes) == tuple(round_)
