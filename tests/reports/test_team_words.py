"""The sentences of a captain's plan."""

from dataclasses import replace

import numpy as np
import pytest

from holesim.plan.estimate import estimate
from holesim.player.make_player import typical_player
from holesim.reports.team_words import findings, misfit_texts, numbers_text, when_text
from holesim.scoring.ratings import rate_length, rating_range
from holesim.team.benefit import Benefit, Choice
from holesim.team.handicap import Rating
from holesim.team.roster_checks import (
    DayStrikePlayer,
    HandicapMisfit,
    PlayerSuspect,
    RatingSuspect,
    SpeedSuspect,
    TeeSuspect,
)
from holesim.team.roster_scores import DayChoice
from holesim.team.team_plan import DriveInTrouble, Standings
from holesim.units import MPH
from tests.handouts.test_captain_sheet import plan

PLAYER = replace(typical_player("Una Thessaly", "woman", 12.0, 80 * MPH), usual="down", can_choose=False)
MADE_UP = plan(["one", "other"], matched=True)


@pytest.mark.parametrize(
    ("ups", "said"),
    [
        ([-3, -2], "when 2 down or worse"),
        ([1, 2, 3], "when 1 up or better"),
        ([-1], "when 1 down"),
        ([-2, -1], "when 1 to 2 down"),
        ([0, 1], "when even to 1 up"),
        ([-3, 3], "when 3 down or 3 up"),
        ([-3, -2, -1, 0, 1, 2, 3], "whatever the standing"),
    ],
)
def test_standings_in_words(ups: list[int], said: str) -> None:
    assert when_text(Standings(tuple(ups), 3)) == said


def test_whose_drive_is_in_trouble() -> None:
    assert when_text(DriveInTrouble("Hal Marrin")) == "once Hal Marrin is in trouble"
    assert when_text(DriveInTrouble(None)) == "once the other side's drive is in trouble"


def benefit(choice: Choice, value: float) -> Benefit:
    return Benefit(
        choice=choice, value=value, low=value - 0.2, high=value + 0.2, chance=0.9 if value >= 0 else 0.1,
        unit="points",
    )  # fmt: skip


GAINS = "sides in this order gain 0.300 points compared with handicap order, the lowest first"
STAYS = "the sides are in handicap order, the lowest first: the best other order would gain 0.001 points"
LESS = "pairs of fewest strokes would win 0.070 points less"
MORE = "pairs of fewest strokes would win 0.070 points more"
WIDE = "(\N{MINUS SIGN}0.130 to 0.270; likely, 90 in 100)"


@pytest.mark.parametrize(
    ("choice", "value", "said"),
    [
        ("order", 0.3, f"{GAINS} (0.100 to 0.500; likely, 90 in 100)"),
        ("order", 0.001, f"{STAYS} (\N{MINUS SIGN}0.199 to 0.201), less than the 0.005 that matter"),
        ("points", 0.07, f"{LESS} {WIDE}"),
        ("points", -0.07, f"{MORE} {WIDE}"),
    ],
)
def test_what_a_choice_gains(choice: Choice, value: float, said: str) -> None:
    plan = replace(MADE_UP, benefits=(benefit(choice, value),), one_strike=(), misfits=())
    assert findings(plan)[0] == said


def test_a_choice_that_changes_nothing_has_no_interval() -> None:
    told: list[tuple[Choice, str]] = [
        ("order", "the sides are in handicap order, the lowest first"),
        ("points", "these pairs need the fewest strokes, too"),
    ]
    for choice, stays in told:
        same = replace(benefit(choice, 0.0), low=-1e-9, high=0.0)
        (said, *_) = findings(replace(MADE_UP, benefits=(same,)))
        assert said == stays


def test_the_match_in_which_strikes_chosen_for_it_matter_is_named() -> None:
    gains = (0.03, 0.001)
    sides = tuple(
        replace(side, match_strikes=benefit("match strikes", gain))
        for side, gain in zip(MADE_UP.sides, gains, strict=True)
    )
    (said, *_) = findings(replace(MADE_UP, sides=sides, benefits=()))
    assert said == (
        "strikes chosen for the match gain 0.030 points in match 1 (\N{MINUS SIGN}0.170 to 0.230; likely, 90 "
        "in 100); in the other matches they would gain less than 0.005 points"
    )
    (said, *_) = findings(replace(MADE_UP, sides=sides[1:], benefits=()))
    assert said == (
        "everyone hits their own best strikes: strikes chosen for the match would gain less than 0.005 "
        "points in every match"
    )


def test_who_hits_one_strike_all_day() -> None:
    over = estimate(np.full((32, 2), -1.8))
    kept = (
        DayStrikePlayer(PLAYER, DayChoice("up", over), assumed=False),
        DayStrikePlayer(PLAYER, DayChoice("down", None), assumed=True),
        DayStrikePlayer(replace(PLAYER, name="Hal Marrin"), None, assumed=True),
        DayStrikePlayer(
            replace(PLAYER, name="Ana Reith", strikes=PLAYER.strikes[:1]),
            DayChoice("up", None),
            assumed=False,
        ),
    )
    said = findings(replace(MADE_UP, one_strike=kept))
    sure = "1.8 strokes better than the usual down; nearly sure, over 99 in 100"
    best = "the best over the round is"
    own = "by their own files these players hit one driver strike all day"
    assert f"{own}; {best}: Una Thessaly up ({sure})" in said
    assumed = "these players are taken to hit one driver strike all day, as no player file says otherwise"
    assert f"{assumed}; {best}: Una Thessaly down, Hal Marrin" in said
    assert "these players have one driver strike only: Ana Reith up" in said


WOMAN = replace(PLAYER, name="Ottilie Fenn", sex="woman")
BY_LENGTH = rate_length(6397, "woman")
RATED = RatingSuspect("middle", Rating(74.1, 128, 73), BY_LENGTH, rating_range(6397, "woman"))


RED = TeeSuspect("red")


@pytest.mark.parametrize(
    ("misfits", "who", "what"),
    [
        (
            [HandicapMisfit(WOMAN, 18.6, RATED)],
            "Ottilie Fenn's scores are those of a handicap of about 19, not 12",
            (
                "The rating of the middle tees for women does not fit their length: it is 74.1 with a slope "
                "of 128. By length alone it would be 75.6 with 123, with obstacles 74.6 to 78.4 with 117 to "
                "139. Check the rating"
            ),
        ),
        (
            [HandicapMisfit(WOMAN, 18.6, RED), HandicapMisfit(replace(WOMAN, name="Ana Reith"), 20.1, RED)],
            "Ottilie Fenn's scores are those of a handicap of about 19, not 12; Ana Reith's of 20, not 12",
            (
                "Most women who play from the red tees are off the same way, so the tees do not suit them or "
                "are rated wrongly. Check the rating, or choose other tees"
            ),
        ),
        (
            [HandicapMisfit(PLAYER, 18.6, SpeedSuspect(95 * MPH))],
            "Una Thessaly's scores are those of a handicap of about 19, not 12",
            (
                "A club speed of 80 mph is low for that handicap, where 95 mph is usual, and the model may "
                "err for so slow a golfer. Check the club speed, or expect better scores"
            ),
        ),
        (
            [HandicapMisfit(PLAYER, -1.2, PlayerSuspect())],
            "Una Thessaly's scores are those of a handicap of about +1, not 12",
            "Check the handicap and the club speed",
        ),
    ],
)
def test_whose_handicap_does_not_fit_and_what_to_check(
    misfits: list[HandicapMisfit], who: str, what: str
) -> None:
    (*_, said) = findings(replace(MADE_UP, misfits=tuple(misfits)))
    assert said == f"{who}. {what}"
    assert misfit_texts(misfits) == [said]
    assert misfit_texts([]) == []


def test_ranges_of_numbers() -> None:
    assert numbers_text([1, 3, 4, 6, 7, 8]) == "1, 3, 4, 6-8"
