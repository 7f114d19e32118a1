"""What a captain should know of the players' files: strikes hit all day, and handicaps that do not fit."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq

from holesim.course.holes import Sex
from holesim.player.make_player import typical_player
from holesim.player.player import Player
from holesim.scoring.skill import usual_club_speed
from holesim.team.roster_checks import (
    DayStrikePlayer,
    HandicapMisfit,
    PlayerSuspect,
    RatingSuspect,
    SpeedSuspect,
    TeeSuspect,
    find_day_strikes,
    find_misfits,
)
from holesim.team.roster_scores import RosterScores, rank_strikes
from holesim.team.strike_scores import StrikeScores
from holesim.team.team_file import CardFile, RatingFile
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


# --- handicaps that do not fit ------------------------------------------------------------------------

# 18 holes of 345 yd: 6,210 yd, by which men rate 69.1 with a slope of 110, and women 74.6 with 121.
RATED = in_a_row(*((4, 345.0),) * 18)
FAIR = {"man": RatingFile(course=69.1, slope=110), "woman": RatingFile(course=74.6, slope=121)}


def golfer(name: str, index: float, *, sex: Sex = "man", share: float = 1.0) -> Player:
    """Return a golfer whose club speed is a share of what is usual for the handicap."""
    return typical_player(name, sex, index, share * usual_club_speed(index, sex))


def best_eight(strokes: float) -> float:
    """Return the best 8 of 20 of rounds of a mean on each hole, of which each is four or five strokes."""
    return float(18 * strokes - 0.93 * np.sqrt(18 * (strokes - 4) * (5 - strokes)))


def misfits(
    *scored: tuple[Player, float], ratings: dict[str, RatingFile] | None = None
) -> list[HandicapMisfit]:
    """Return the misfits among players who take so many strokes a hole on average."""
    by_sex: dict[str, RatingFile] = {**FAIR, **(ratings or {})}
    cards: dict[Sex, CardFile] = {sex: CardFile(ratings={"back": by_sex[sex]}) for sex in ("man", "woman")}
    everyone = tuple(player for player, _ in scored)
    team = replace(team_of(*everyone), cards=cards)
    gross = tuple(
        rank_strikes(round_of({"up": strokes}), replace(player, can_choose=True), RATED.holes)
        for player, strokes in scored
    )
    tees = find_tees(RATED, team, everyone)
    return list(find_misfits(RosterScores(everyone, RATED.holes, tees, gross, (0.0,) * len(everyone)), team))


def strokes_for(index: float, rating: RatingFile) -> float:
    """Return the mean strokes on each hole whose best 8 of 20 rounds are those of a handicap index."""
    aim = rating.course + index * rating.slope / 113
    return float(brentq(lambda strokes: best_eight(strokes) - aim, 4.0, 5.0))


@pytest.mark.parametrize(("off", "fits"), [(-5.5, False), (-4.5, True), (4.5, True), (5.5, False)])
def test_whose_handicap_does_not_fit_is_found(off: float, *, fits: bool) -> None:
    player = golfer("Una Thessaly", 12.0)
    found = misfits((player, strokes_for(12.0 + off, FAIR["man"])))
    assert [one.index for one in found] == ([] if fits else [pytest.approx(12.0 + off, abs=0.01)])
    assert all(one.suspect == PlayerSuspect() for one in found)


def test_a_rating_that_does_not_fit_the_length_is_suspected_first() -> None:
    """The tees are rated four strokes too low, and the golfer is slow too."""
    low = RatingFile(course=65.1, slope=110)
    player = golfer("Una Thessaly", 8.0, share=0.8)
    (found,) = misfits((player, strokes_for(16.0, low)), ratings={"man": low})
    assert isinstance(found.suspect, RatingSuspect)
    assert found.suspect.stated.course == 65.1
    assert found.suspect.by_length.scratch == pytest.approx(6210 / 220 + 40.9)
    low_course, high_course = found.suspect.possible.course
    assert low_course < found.suspect.by_length.scratch < high_course


@pytest.mark.parametrize("sex", ["man", "woman"])
def test_tees_are_suspected_where_others_are_off_the_same_way(sex: Sex) -> None:
    """Those of the other sex play by another rating, so that they say nothing of it."""
    other: Sex = "woman" if sex == "man" else "man"
    one, two, third = (golfer(f"Player {k}", 4.0, sex=sex, share=0.8) for k in range(3))
    off = strokes_for(12.0, FAIR[sex])
    near, fit = strokes_for(7.5, FAIR[sex]), strokes_for(4.0, FAIR[sex])
    (found,) = misfits((one, off), (two, near))
    assert found.suspect == TeeSuspect("back")
    both = misfits((one, off), (two, off), (third, near))
    assert [each.suspect for each in both] == [TeeSuspect("back")] * 2
    (found,) = misfits((one, off), (two, fit))
    assert isinstance(found.suspect, SpeedSuspect)
    stranger = golfer("Stranger", 4.0, sex=other)
    found, *_ = misfits((one, off), (stranger, strokes_for(12.0, FAIR[other])))
    assert isinstance(found.suspect, SpeedSuspect)


@pytest.mark.parametrize(
    ("share", "index", "slow"), [(0.85, 18.0, True), (0.95, 18.0, False), (0.85, 6.0, False)]
)
def test_the_model_is_suspected_where_a_slow_golfer_scores_worse(
    share: float, index: float, *, slow: bool
) -> None:
    player = golfer("Una Thessaly", 12.0, share=share)
    (found,) = misfits((player, strokes_for(index, FAIR["man"])))
    assert found.suspect == (SpeedSuspect(usual_club_speed(12.0, "man")) if slow else PlayerSuspect())
