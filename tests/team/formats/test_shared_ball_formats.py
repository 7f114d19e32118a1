"""Foursomes and greensomes."""

from dataclasses import replace

import pytest

from holesim.plan.round_options import RoundOptions
from holesim.reports.team_text import tees_text
from holesim.team.planner import plan_team
from holesim.team.roster_scores import RosterScores
from tests.team.teams import LONG, OTHERS, SHORT, TWO_HOLES, in_a_row, planned, renamed, team_of


def test_where_the_par_3s_fall_decides_who_drives_at_odd_holes() -> None:
    """An unequal pair: the longer one should drive where driving is most of the hole."""
    drivers = []
    for holes in (((3, 150), (4, 440)), ((4, 440), (3, 150))):
        plan = plan_team(
            in_a_row(*holes, *holes), team_of(LONG, SHORT), "foursomes", RoundOptions(draws=1024)
        )
        (side,) = plan.sides
        assert [hole.first for hole in side.holes] == [side.holes[0].first, side.holes[1].first] * 2
        drivers.append(side.holes[0].first)
        for line in tees_text(side):
            assert line.startswith(f"{side.holes['odd' not in line].first}, at ")
    assert drivers == ["Tobias Wren", "Bram Orrel"]


@pytest.mark.parametrize("order_known", [False, True])
def test_both_sides_choose_who_drives(*, order_known: bool) -> None:
    """Where the higher handicap should drive at odd holes, a pair against itself is even, as both know it."""
    course = in_a_row((4, 440), (3, 150))
    long_but_worse = replace(LONG, handicap_index=SHORT.handicap_index + 5)
    twins = [renamed(one, f"{one.name}'s twin") for one in (long_but_worse, SHORT)]
    team = team_of(long_but_worse, SHORT, opponents=twins, order_known=order_known)
    plan = planned(course, team, "foursomes")
    (side,) = plan.sides
    assert side.holes[0].first == LONG.name
    assert side.points == pytest.approx(0.5, abs=0.02)
    assert plan.benefits[0].choice == "drivers"
    assert plan.benefits[0].matters


def test_two_alike_play_one_ball_as_either_plays_it_alone() -> None:
    course = in_a_row((4, 400), boundary=30)
    twins = [replace(LONG, name=name) for name in ("one", "other")]
    plan = planned(course, team_of(*twins), "foursomes")
    alone = planned(course, team_of(twins[0]), "stroke")
    assert plan.sides[0].strokes == pytest.approx(alone.sides[0].strokes, abs=0.01)
    # With two drives to choose from it is better.
    both = planned(course, team_of(*twins), "greensomes").sides[0]
    assert both.strokes < plan.sides[0].strokes - 0.05
    # Where another drive may still be chosen, a worse strike costs less than with the only ball.
    few = [
        replace(one, strikes=tuple(s for s in one.strikes if s.label in ("up", "7-iron"))) for one in twins
    ]
    wide = in_a_row((4, 400))
    foursomes, greensomes = (
        planned(wide, team_of(*few), format_).sides[0].holes[0].drives
        for format_ in ("foursomes", "greensomes")
    )
    for two, one in zip(greensomes, foursomes * 2, strict=True):
        assert two.strike == one.strike == "up"
        assert two.worth is not None
        assert one.worth is not None
        assert 0 < two.worth.value < one.worth.value


def test_strokes_fall_on_the_holes_of_the_lowest_index() -> None:
    """With one ball too, whatever the order of the holes."""
    holes = tuple(
        replace(hole, stroke_index=index) for hole, index in zip(TWO_HOLES.holes, (9, 2), strict=True)
    )
    roster = RosterScores(tuple(OTHERS), holes, (), (), (0.0,) * 4)
    assert [roster.strokes_by_hole(strokes, (0, 1)) for strokes in (1, 3, -1)] == [[0, 1], [1, 2], [-1, 0]]
    course = replace(TWO_HOLES, holes=holes)
    pair, rivals = OTHERS[:2], [replace(one, name=f"Rival {k}") for k, one in enumerate(OTHERS[:2])]
    # One stroke on the par 3 wins that hole more often than one on the par 4 would the other.
    plans = []
    for chosen in (course, TWO_HOLES):
        team = replace(team_of(*pair, opponents=rivals), ratings={})
        team = replace(
            team, players=(replace(pair[0], handicap_index=9.0), replace(pair[1], handicap_index=9.0))
        )
        plans.append(planned(chosen, team, "foursomes", net=True).sides[0])
    assert plans[0].received == plans[1].received == (1,)
    assert plans[0].result != plans[1].result
