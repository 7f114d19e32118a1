"""Formats in small numbers: who receives how many strokes and where, who drives, and what a round adds up to.

The team's Ann and Ben have course handicaps of 4.2 and 10.4, the opponents Cal and Dot of 8.0 and 20.6. On
each of three holes, of stroke indices 2, 3 and 1, a ball takes so many strokes for sure.
"""

from collections.abc import Sequence
from dataclasses import replace
from types import SimpleNamespace
from typing import Any, cast

import numpy as np
import pytest

from holesim.course.holes import CardEntry
from holesim.errors import InputError
from holesim.player.make_player import typical_player
from holesim.player.player import Player
from holesim.team.formats.individual import Singles, StrokePlay
from holesim.team.formats.pairs import FourBall
from holesim.team.formats.round_format import RoundFormat, side_totals
from holesim.team.formats.shared_ball_formats import Foursomes, Greensomes
from holesim.team.pair_options import PairOptions
from holesim.team.roster_scores import RosterScores
from holesim.team.side_options import Side, SideOption
from holesim.team.strike_scores import DRAW_SETS, SCORES, StrikeScores
from holesim.team.team_file import Team
from holesim.units import MPH
from tests.team.teams import chances, in_a_row, strike_scores, team_of

OURS = [typical_player(name, "man", index, 100 * MPH) for name, index in (("Ann", 4.0), ("Ben", 10.0))]
THEIRS = [typical_player(name, "man", index, 100 * MPH) for name, index in (("Cal", 8.0), ("Dot", 20.0))]
COURSE_HANDICAPS = (4.2, 10.4, 8.0, 20.6)
HOLES = tuple(
    replace(hole, stroke_index=index)
    for hole, index in zip(in_a_row((4, 400), (4, 410), (3, 150)).holes, (2, 3, 1), strict=True)
)


def ball(strokes: int, label: str = "up") -> StrikeScores:
    return strike_scores(label, chances(*[0] * (strokes - 1), 1))


def roster(*rounds: Sequence[int]) -> RosterScores:
    """Return the four players, with the strokes that each needs on each hole; 5, 5 and 4 by default."""
    gross = tuple(tuple((ball(n),) for n in (rounds[k] if k < len(rounds) else (5, 5, 4))) for k in range(4))
    players = (*OURS, *THEIRS)
    tees = tuple(tuple(hole.tees[0] for hole in HOLES) for _ in players)
    return RosterScores(players, HOLES, tees, gross, COURSE_HANDICAPS)


def team(*ours: Player, opponents: Sequence[Player] = THEIRS, **stated: Any) -> Any:  # noqa: ANN401
    return replace(team_of(*(ours or OURS), opponents=opponents), **stated)


def pairs(*holes: Sequence[Sequence[SideOption]]) -> PairOptions:
    return cast("PairOptions", SimpleNamespace(of=lambda *_: list(holes)))


def option(strokes: int, first: str = "", strikes: tuple[str, ...] = ("up",)) -> SideOption:
    return SideOption(strikes, chances(*[0] * (strokes - 1), 1), first=first)


def scores(side: Side) -> list[float]:
    """Return the strokes of the first option on each hole."""
    return [float(of_hole[0].chances[0] @ SCORES) for of_hole in side.holes]


def playing(format_: RoundFormat, *group: int) -> list[int]:
    return [one.playing for one in format_.handicaps(group)]


# --- handicap strokes -----------------------------------------------------------------------------


def test_playing_handicaps_in_matches_and_in_stroke_play() -> None:
    """Singles all of it; four-ball nine tenths, 3.78, 9.36, 7.2 and 18.54, or 85 % without opponents.

    Foursomes half of the sum, 7.3 and 14.3; greensomes 0.6 of the lower, 0.4 of the higher, 6.68 and 13.04.
    """
    assert playing(Singles(roster(), team(), None, None), 0, 1, 2, 3) == [4, 10, 8, 21]
    assert playing(FourBall(roster(), team(), None, None), 0, 1, 2, 3) == [4, 9, 7, 19]
    assert playing(FourBall(roster(), team(opponents=()), None, None), 0, 1) == [4, 9]  # 3.57 and 8.84
    for format_, mine, theirs in ((Foursomes, 7, 14), (Greensomes, 7, 13)):
        made = format_(roster(), team(), None, None)
        assert (playing(made, 0, 1), playing(made, 1, 0), playing(made, 2, 3)) == ([mine], [mine], [theirs])
    (one,) = Greensomes(roster(), team(), None, None).handicaps((1, 0))
    assert (one.names, one.course, one.shares) == (("Ben", "Ann"), (10.4, 4.2), (0.4, 0.6))


def test_the_committees_allowance_comes_before_the_usual_one() -> None:
    half = team(allowances={"singles": 0.5, "foursomes": 0.25})
    assert playing(Singles(roster(), half, None, None), 0, 1) == [2, 5]
    assert playing(Foursomes(roster(), half, None, None), 0, 1) == [4]  # 3.65
    assert playing(FourBall(roster(), half, None, None), 1) == [9]


def test_the_allowance_of_stroke_play_goes_by_the_scores_that_count() -> None:
    """95 % where each plays alone, though the file names opponents; of two scores of two all of it."""
    assert playing(StrokePlay(roster(), team(), None, None), 1) == [10]  # 9.88
    assert StrokePlay(roster(), team(), None, None).allowance == 0.95
    assert StrokePlay(roster(), team(), None, 2).allowance == 1.0
    assert StrokePlay(roster(), team(), None, 1).allowance == 0.85
    assert StrokePlay(roster(), team(places=1), None, 1).allowance == 1.0


def test_in_a_match_all_play_off_the_lowest() -> None:
    assert Singles(roster(), team(), None, None).match_strokes((0,), (3,)) == ((0,), (17,))
    assert Singles(roster(), team(), None, None).match_strokes((1,), (2,)) == ((2,), (0,))
    assert FourBall(roster(), team(), None, None).match_strokes((0, 1), (2, 3)) == ((0, 5), (3, 15))
    assert Foursomes(roster(), team(), None, None).match_strokes((0, 1), (2, 3)) == ((0,), (7,))
    assert Foursomes(roster(), team(), None, None).match_strokes((2, 3), (0, 1)) == ((7,), (0,))


def test_strokes_are_taken_off_where_they_fall() -> None:
    """Four strokes on three holes: one each, and another on the third, of stroke index 1."""
    (side,) = Singles(roster((5, 5, 4)), team(), None, None).sides((0,), (4,))
    assert scores(side) == [4, 4, 2]
    assert (side.names, side.players, side.received) == (("Ann",), (0,), (4,))
    singles = Singles(roster(), team(), None, None)
    assert singles.strokes_by_hole(side) == ((1, 1, 2),)
    (gross,) = singles.sides((1,), (0,))
    assert scores(gross) == [5, 5, 4]


def test_in_four_ball_the_better_net_ball_counts() -> None:
    """Ann makes 4, 6 and 4 with none, Ben 5, 5 and 4 with one on the third and one on the first."""
    four_ball = FourBall(roster((4, 6, 4), (5, 5, 4)), team(), None, None)
    (side,) = four_ball.sides((0, 1), (0, 2))
    assert scores(side) == [4, 5, 3]
    assert four_ball.strokes_by_hole(side) == ((0, 0, 0), (1, 0, 1))


# --- one ball -------------------------------------------------------------------------------------


def foursomes() -> Foursomes:
    """Return foursomes in which Ann's drive leads to 4, 5 and 3, and Ben's to 5, 6 and 4."""
    by_hole = [[[option(a, "Ann")], [option(a + 1, "Ben")]] for a in (4, 5, 3)]
    return Foursomes(roster(), team(), pairs(*by_hole), None)


def test_the_lower_handicap_drives_the_odd_holes_in_the_plain_side() -> None:
    """Ann on holes 1 and 3, whoever is named first: 4, 6 and 3. The other way round 5, 5 and 4."""
    plain, other = foursomes().sides((0, 1), (0,))
    assert [[hole[0].first for hole in side.holes] for side in (plain, other)] == [
        ["Ann", "Ben", "Ann"], ["Ben", "Ann", "Ben"],
    ]  # fmt: skip
    assert (scores(plain), scores(other)) == ([4, 6, 3], [5, 5, 4])
    backwards = [[[option(a + 1, "Ben")], [option(a, "Ann")]] for a in (4, 5, 3)]
    swapped, _ = Foursomes(roster(), team(), pairs(*backwards), None).sides((1, 0), (0,))
    assert scores(swapped) == [4, 6, 3]
    # Of two with one handicap it is the one who is named first.
    made = roster()
    even = replace(made, players=(made.players[0], replace(made.players[1], handicap_index=4.0), *THEIRS))
    first, _ = Foursomes(even, team(), pairs(*[[[option(4, "Ann")], [option(5, "Ben")]]] * 3), None).sides(
        (0, 1), (0,)
    )
    assert scores(first) == [4, 5, 4]


def test_a_pairs_strokes_are_taken_off_their_one_ball() -> None:
    """Their 7 on three holes are two each, and three on the third: 2, 4 and 0."""
    plain, other = foursomes().stroke_sides((0, 1))
    assert (scores(plain), scores(other)) == ([2, 4, 0], [3, 3, 1])
    assert plain.received == (7,)
    assert foursomes().strokes_by_hole(plain) == ((2, 2, 3),)
    one, _ = foursomes().sides((0, 1), (1,))
    assert scores(one) == [4, 6, 2]
    given, _ = foursomes().sides((0, 1), (-1,))
    assert scores(given) == [4, 7, 3]  # back where the index is highest


def test_a_pairs_sides_against_each_opponent_have_the_strokes_of_that_match() -> None:
    """None in one match and one in the other, on the third hole, whoever drives the odd ones."""
    found = foursomes().aligned_sides((0, 1), [(0,), (1,), (0,)])
    assert [[scores(side) for side in sides] for sides in found] == [
        [[4, 6, 3], [5, 5, 4]], [[4, 6, 2], [5, 5, 3]], [[4, 6, 3], [5, 5, 4]],
    ]  # fmt: skip
    assert [len(sides) for sides in found] == [Foursomes.driver_orders] * 3
    (sides,) = Singles(roster(), team(), None, None).aligned_sides((1,), [(1,)])
    assert [scores(side) for side in sides] == [[5, 5, 3]]
    assert (Singles.driver_orders, FourBall.driver_orders, Greensomes.driver_orders) == (1, 1, 1)


def test_the_opponents_play_their_side_of_fewest_strokes_and_no_other_option() -> None:
    side = foursomes().opposing_side((2, 3), (0,))
    assert scores(side) == [4, 6, 3]
    assert [len(of_hole) for of_hole in side.holes] == [1, 1, 1]
    turned = [[[option(6, "Cal"), option(4, "Cal")], [option(5, "Dot")]]] * 3
    worse = Foursomes(roster(), team(), pairs(*turned), None).opposing_side((2, 3), (1,))
    # Cal on the odd holes hits the second option: 4, 5 and 3 net; on the even one 5, 4 and 4.
    assert scores(worse) == [4, 5, 3]


def test_the_worth_of_a_strike_is_by_what_the_partner_hits_as_well() -> None:
    greensomes = Greensomes(roster(), team(), None, None)
    both = [
        option(4, strikes=("up", "up")), option(5, strikes=("down", "up")),
        option(3, strikes=("down", "down")), option(6, strikes=("up", "down")),
    ]  # fmt: skip
    assert greensomes.alternatives(both, 0, 0) == [both[1]]
    assert greensomes.alternatives(both, 0, 1) == [both[3]]
    four_ball = FourBall(roster(), team(), None, None)
    assert four_ball.alternatives(both, 0, 0) == [both[1], both[2]]


# --- sides and their plans ------------------------------------------------------------------------


def test_who_can_make_a_side_and_who_is_met() -> None:
    four_ball = FourBall(roster(), team(), None, None)
    assert (four_ball.ours, four_ball.theirs) == ((0, 1), (2, 3))
    assert (four_ball.groups, four_ball.opponents) == (((0, 1),), ((2, 3),))
    singles = Singles(roster(), team(), None, None)
    assert (singles.groups, singles.opponents) == (((0,), (1,)), ((2,), (3,)))
    stroke = StrokePlay(roster(), team(), None, None)
    assert (stroke.theirs, stroke.opponents) == ((), ())
    assert [f.playing(team()) for f in (StrokePlay, Singles)] == [2, 2]
    assert [f.playing(team(opponents=THEIRS[:1])) for f in (StrokePlay, Singles)] == [2, 1]
    assert Singles.playing(team(places=1)) == 1


def test_a_sides_plan_adds_its_holes_and_says_what_each_strike_is_worth() -> None:
    """Ann makes 4.5 ± 0.5, 5 and 4 with up, and with down 5 on the first, half a stroke more."""
    even = strike_scores("up", chances(0, 0, 0, 0.5, 0.5))
    made = roster()
    rounds = (((even, ball(5, "down")), (ball(5),), (ball(4),)), *made.gross[1:])
    format_ = StrokePlay(replace(made, gross=rounds), team(), None, None)
    (side,) = format_.sides((0,), (0,))
    plan = format_.plan_side(side, (0, 0, 0))
    assert (plan.strokes, plan.sd) == pytest.approx((13.5, 0.5))
    assert [hole.drives[0].strike for hole in plan.holes] == ["up", "up", "up"]
    assert [hole.pars for hole in plan.holes] == [(4,), (4,), (3,)]
    worth = [hole.drives[0].worth for hole in plan.holes]
    assert worth[0] is not None
    assert worth[0].value == pytest.approx(0.5)
    assert worth[1:] == [None, None]
    other = format_.plan_side(side, (1, 0, 0))
    assert other.strokes == pytest.approx(14.0)
    assert other.holes[0].drives[0].strike == "down"
    assert side_totals(side, (1, 0, 0)).sd() == pytest.approx(0.0, abs=1e-6)
    assert np.shape(side.strokes_by((0, 0, 0))) == (DRAW_SETS,)


def test_a_mixed_pairs_strokes_fall_by_the_mens_indices() -> None:
    """The men's are 2, 3 and 1, the women's 1, 2 and 3; her own ball receives its first stroke on hole 1."""
    holes = tuple(replace(hole, women=CardEntry(stroke_index=hole.number)) for hole in HOLES)
    players = (replace(OURS[0], sex="woman"), OURS[1], *THEIRS)
    mixed = replace(roster(), holes=holes, players=players)
    by_hole = [[[option(4, "Ann")], [option(4, "Ben")]]] * 3
    pair = Foursomes(mixed, team(), pairs(*by_hole), None)
    plain, _ = pair.sides((0, 1), (1,))
    assert (scores(plain), pair.strokes_by_hole(plain)) == ([4, 4, 3], ((0, 0, 1),))
    four_ball = FourBall(mixed, team(), None, None)
    (side,) = four_ball.sides((0, 1), (1, 1))
    assert four_ball.strokes_by_hole(side) == ((1, 0, 0), (0, 0, 1))


# --- what cannot be planned -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("format_", "asked", "count", "said"),
    [
        (Singles, team(), None, ""),
        (FourBall, team(), None, ""),
        (FourBall, team(opponents=()), None, ""),
        (StrokePlay, team(), 2, ""),
        (StrokePlay, team(), None, ""),
        (Singles, team(), 2, "count: does not go with singles; leave it out, or plan stroke play"),
        (Singles, team(opponents=()), None, "opponents: are missing, and singles needs as many"),
        (Singles, team(places=3), None, "places: 3 are more than the 2 who could play"),
        (Singles, team(places=1), None, "opponents: 2 do not go with 1 players"),
        (
            FourBall,
            team(*OURS, *THEIRS, opponents=OURS, places=4),
            None,
            "opponents: 2 do not go with 4 players",
        ),
        (FourBall, team(opponents=THEIRS[:1]), None, "opponents: 1 do not make pairs"),
        (FourBall, team(opponents=(), places=1), None, "places: 1 do not make pairs"),
        (StrokePlay, team(), 3, "count: 3 is not from 1 to 2, the number who play"),
        (StrokePlay, team(), 0, "count: 0 is not from 1 to 2, the number who play"),
        (StrokePlay, team(places=3), None, "places: 3 are more than the 2 who could play"),
    ],
)
def test_what_a_format_asks_of_a_team(
    format_: type[RoundFormat], asked: Team, count: int | None, said: str
) -> None:
    if said:
        with pytest.raises(InputError, match=said):
            format_.check(asked, count)
    else:
        format_.check(asked, count)
