"""The sentences of a captain's plan."""

from dataclasses import replace

import numpy as np
import pytest

from holesim.plan.estimate import estimate
from holesim.player.make_player import typical_player
from holesim.reports.team_words import findings, numbers_text, when_text
from holesim.team.benefit import Benefit
from holesim.team.roster_checks import DayStrikePlayer, HandicapMisfit
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


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (
            0.3,
            (
                "this order gains 0.300 points compared with handicap order, the lowest first "
                "(0.100 to 0.500; likely, 90 in 100)"
            ),
        ),
        (
            0.0,
            (
                "the order is that of handicaps, the lowest first: another gains nothing that matters "
                "(\N{MINUS SIGN}0.200 to 0.200 points; 90 in 100 that it is a gain)"
            ),
        ),
    ],
)
def test_what_a_choice_gains(value: float, said: str) -> None:
    benefit = Benefit(
        choice="order", value=value, low=value - 0.2, high=value + 0.2, chance=0.9, unit="points"
    )
    assert findings(replace(MADE_UP, benefits=(benefit,), one_strike=(), misfits=()))[0] == said


def test_a_choice_that_changes_nothing_has_no_interval() -> None:
    benefit = Benefit(choice="order", value=0.0, low=-1e-9, high=0.0, chance=0.5, unit="points")
    (said, *_) = findings(replace(MADE_UP, benefits=(benefit,)))
    assert said == "the order is that of handicaps, the lowest first"


def test_who_hits_one_strike_all_day() -> None:
    over = estimate(np.full((32, 2), -1.8))
    kept = (
        DayStrikePlayer(PLAYER, DayChoice("up", over), assumed=False),
        DayStrikePlayer(PLAYER, DayChoice("down", None), assumed=True),
        DayStrikePlayer(replace(PLAYER, name="Hal Marrin"), None, assumed=True),
    )
    said = findings(replace(MADE_UP, one_strike=kept))
    sure = "1.8 strokes better than the usual down; nearly sure, over 99 in 100"
    assert f"one driver strike all day, as their files say: Una Thessaly up ({sure})" in said
    assumed = "one driver strike all day, assumed where a file does not say: Una Thessaly down, Hal Marrin"
    assert assumed in said


def test_whose_handicap_does_not_fit() -> None:
    (*_, said) = findings(replace(MADE_UP, misfits=(HandicapMisfit(PLAYER, 18.6),)))
    assert said.startswith("Una Thessaly's club speed gives the scores of a handicap of about 19, not 12: ")


def test_ranges_of_numbers() -> None:
    assert numbers_text([1, 3, 4, 6, 7, 8]) == "1, 3, 4, 6-8"
