"""Tees, pars and stroke indices of men and women, and course handicaps from them."""

from dataclasses import replace

import pytest

from holesim.course.holes import CardEntry
from holesim.errors import InputError
from holesim.player.make_player import typical_player
from holesim.team.roster_scores import RosterScores
from holesim.team.team_file import CardFile, RatingFile, Team
from holesim.team.tees_and_handicaps import add_cards, find_handicaps, find_tees
from holesim.units import MPH
from tests.team.teams import in_a_row, planned, team_of

COURSE = in_a_row(*((4, 400.0),) * 18)
MAN = typical_player("Bram Orrel", "man", 10.0, 95 * MPH)
WOMAN = typical_player("Una Thessaly", "woman", 20.0, 70 * MPH)
BACKWARDS = list(range(18, 0, -1))


def team_with(women: CardFile, **ratings: RatingFile) -> Team:
    return replace(team_of(MAN, WOMAN), cards={"woman": women}, ratings=ratings)


def handicaps(team: Team) -> list[float]:
    course = add_cards(COURSE, team)
    found, _ = find_handicaps(course, team, [MAN, WOMAN], find_tees(course, team, [MAN, WOMAN]))
    return [round(one, 6) for one in found]


def test_course_handicaps_go_by_the_rating_and_the_par_of_each_sex() -> None:
    """Worked by hand (6.1a): the index times slope over 113, and course rating less par.

    A man of 10 on 71.3, slope 126, par 72: 11.150 - 0.7 = 10.450. A woman of 20 from the same tee on 75.6,
    slope 123: 21.770 + 75.6 = 97.370, so 23.370 over her par of 74 and 25.370 over the men's of 72.
    """
    men, rated = RatingFile(course=71.3, slope=126), RatingFile(course=75.6, slope=123)
    own_par = CardFile(par=[5, 5] + [4] * 16, ratings={"back": rated})
    assert handicaps(team_with(own_par, back=men)) == [10.450442, 23.369912]
    assert handicaps(team_with(CardFile(ratings={"back": rated}), back=men)) == [10.450442, 25.369912]


def test_a_tee_without_a_rating_is_rated_as_the_par_of_each_sex() -> None:
    team = team_with(CardFile(par=[5] * 2 + [4] * 16))
    course = add_cards(COURSE, team)
    found, assumed = find_handicaps(course, team, [MAN, WOMAN], find_tees(course, team, [MAN, WOMAN]))
    assert found == (10.0, 20.0)
    assert [text.split(", and")[0] for text in assumed] == [
        f"the back tees: a course rating of par, {par}" for par in (72, 74)
    ]


def test_strokes_fall_by_the_stroke_index_of_who_plays_the_ball() -> None:
    course = add_cards(COURSE, team_with(CardFile(stroke_index=BACKWARDS)))
    roster = RosterScores((MAN, WOMAN), course.holes, (), (), (0.0, 0.0))
    first, last = [1, *[0] * 17], [*[0] * 17, 1]
    assert roster.strokes_by_hole(1, (0,)) == first
    assert roster.strokes_by_hole(1, (1,)) == last
    assert roster.strokes_by_hole(1, (1, 1)) == last
    assert roster.strokes_by_hole(1, (1, 0)) == roster.strokes_by_hole(1, (0, 1)) == first


def test_each_player_is_told_their_own_par_and_holes() -> None:
    two = in_a_row((4, 400), (3, 150))
    team = replace(
        team_with(CardFile(par=[5, 3], stroke_index=[2, 1])),
        players=(MAN, replace(WOMAN, handicap_index=9.0)),
    )
    plan = planned(two, team, "stroke", net=True)
    by_name = {side.names[0]: side for side in plan.sides}
    assert [hole.pars for hole in by_name["Bram Orrel"].holes] == [(4,), (3,)]
    assert [hole.pars for hole in by_name["Una Thessaly"].holes] == [(5,), (3,)]
    assert [hole.received for hole in by_name["Bram Orrel"].holes] == [(1,), (0,)]
    assert [hole.received for hole in by_name["Una Thessaly"].holes] == [(0,), (1,)]


@pytest.mark.parametrize(
    ("women", "message"),
    [
        (CardFile(par=[4] * 9), "women.par: has 9 values for 18 holes; give one for each hole"),
        (CardFile(par=[4] * 18), "women.par: has 4 for hole 1, where the map has 5; correct one of the two"),
        (CardFile(stroke_index=BACKWARDS), "hole 1, where the map has 3; correct one of the two"),
    ],
)
def test_a_card_that_does_not_fit_the_course_is_refused(women: CardFile, message: str) -> None:
    mapped = replace(COURSE.holes[0], women=CardEntry(par=5, stroke_index=3))
    with pytest.raises(InputError, match=message):
        add_cards(replace(COURSE, holes=(mapped, *COURSE.holes[1:])), team_with(women))


def test_the_map_and_the_file_may_each_state_a_part() -> None:
    mapped = replace(COURSE.holes[0], women=CardEntry(par=5))
    first, *_ = add_cards(
        replace(COURSE, holes=(mapped, *COURSE.holes[1:])), team_with(CardFile(stroke_index=BACKWARDS))
    ).holes
    assert first.women == CardEntry(par=5, stroke_index=18)
    assert first.men == CardEntry()


def test_a_stroke_index_that_only_women_lack_is_missed_where_women_play() -> None:
    bare = replace(COURSE.holes[0], stroke_index=None, men=CardEntry(stroke_index=1))
    course, team = replace(COURSE, holes=(bare, *COURSE.holes[1:])), team_of(MAN, WOMAN)
    assert find_handicaps(course, team, [MAN], find_tees(course, team, [MAN]))[0] == (10.0,)
    with pytest.raises(InputError, match="hole 1: has no stroke index for women"):
        find_handicaps(course, team, [WOMAN], find_tees(course, team, [WOMAN]))
