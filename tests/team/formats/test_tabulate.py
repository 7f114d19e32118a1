"""The table of every side against every opponent, and the draw made by it, against brute force."""

from collections.abc import Sequence
from itertools import combinations, permutations, product
from math import floor

import numpy as np
import pytest

from holesim.team.formats.individual import Singles
from holesim.team.formats.pairs import FourBall
from holesim.team.formats.round_format import RoundFormat
from holesim.team.formats.tabulate import choose_sides, tabulate_sides
from holesim.team.roster_scores import RosterScores
from holesim.team.side_options import Group
from tests.team.teams import OTHERS, chances, in_a_row, renamed, strike_scores, team_of
from tests.team.test_pairing import pairings

HOLES = in_a_row((4, 400), (3, 160), (5, 500)).holes  # of stroke index 1, 2 and 3
OURS, THEIRS = 6, 6
COURSE_HANDICAPS = (0.2, 0.9, 1.6, 2.1, 3.4, 4.5, -0.4, 1.2, 1.9, 2.6, 3.3, 5.1)
MOST = 6
Points = dict[tuple[Group, int], float]
Mean = dict[Group, float]


def scores(seed: int) -> list[list[list[float]]]:
    """Return the chance of 1, 2, … strokes on each hole, by player: one strike each."""
    drawn = np.random.default_rng(seed).dirichlet(np.ones(MOST), (OURS + THEIRS, len(HOLES)))
    return [[on_hole.tolist() for on_hole in player] for player in drawn]


def format_of(kind: type[RoundFormat], seed: int, *, net: bool, order_known: bool) -> RoundFormat:
    people = [renamed(OTHERS[0], f"Player {k}") for k in range(OURS + THEIRS)]
    gross = tuple(
        tuple((strike_scores("up", chances(*on_hole)),) for on_hole in player) for player in scores(seed)
    )
    handicaps = COURSE_HANDICAPS if net else (0.0,) * len(people)
    tees = tuple(tuple(hole.tees[0] for hole in HOLES) for _ in people)
    roster = RosterScores(tuple(people), HOLES, tees, gross, handicaps)
    team = team_of(*people[:OURS], opponents=people[OURS:], order_known=order_known)
    return kind(roster, team, None, None)


# --- by hand: no code of the package ----------------------------------------------------------------------


def received(group: Sequence[int], share: float, *, net: bool) -> dict[int, list[int]]:
    """Return the strokes that each of a match receives on each hole, the lowest playing off nought."""
    playing = {i: floor(share * COURSE_HANDICAPS[i] + 0.5) if net else 0 for i in group}
    off = {i: strokes - min(playing.values()) for i, strokes in playing.items()}
    return {i: [n // 3 + (h < n % 3) for h in range(3)] for i, n in off.items()}


def better(players: Sequence[int], hole: int, strokes: dict[int, list[int]], seed: int) -> dict[int, float]:
    """Return the chance of each net score of the better ball."""
    found: dict[int, float] = {}
    known = scores(seed)
    for each in product(range(MOST), repeat=len(players)):
        score = min(1 + s - strokes[i][hole] for i, s in zip(players, each, strict=True))
        chance = np.prod([known[i][hole][s] for i, s in zip(players, each, strict=True)])
        found[score] = found.get(score, 0.0) + float(chance)
    return found


def points_by_hand(
    mine: Sequence[int], theirs: Sequence[int], share: float, seed: int, *, net: bool
) -> float:
    """Return the points of a match by all results of its holes."""
    strokes = received((*mine, *theirs), share, net=net)
    by_hole = []
    for hole in range(3):
        one, other = better(mine, hole, strokes, seed), better(theirs, hole, strokes, seed)
        won, lost = (
            sum(p * q for (a, p), (b, q) in product(one.items(), other.items()) if (a < b if wins else a > b))
            for wins in (True, False)
        )
        by_hole.append({1: won, 0: 1 - won - lost, -1: lost})
    total = 0.0
    for results in product((1, 0, -1), repeat=3):
        chance = np.prod([by_hole[h][result] for h, result in enumerate(results)])
        total += float(chance) * (1.0 if sum(results) > 0 else 0.5 if sum(results) == 0 else 0.0)
    return total


@pytest.mark.parametrize("net", [False, True])
def test_pairs_and_order_of_four_ball_against_all_there_are(*, net: bool) -> None:
    """Of 15 ways to make pairs in six orders, the most points; strokes by 90 % of the course handicaps."""
    seed, opponents = 5, [(6, 7), (8, 9), (10, 11)]
    pairs = list(combinations(range(OURS), 2))
    points: Points = {
        (pair, k): points_by_hand(pair, other, 0.9, seed, net=net)
        for pair in pairs
        for k, other in enumerate(opponents)
    }
    known = format_of(FourBall, seed, net=net, order_known=True)
    table = tabulate_sides(known)
    for row, way in enumerate(table.ways):
        for k in range(3):
            assert table.points[row, k].mean() == pytest.approx(points[way.group, k])
    draw = choose_sides(known, table)
    most = max(
        sum(points[pair, k] for k, pair in enumerate(order))
        for one in pairings(tuple(range(OURS)))
        for order in permutations(one)
    )
    found = sum(points[way.group, k] for k, way in enumerate(draw.ways))
    assert found == pytest.approx(most)
    # Where the order is not known, the mean over the opponents counts.
    unknown = format_of(FourBall, seed, net=net, order_known=False)
    draw = choose_sides(unknown, tabulate_sides(unknown))
    mean: Mean = {pair: sum(points[pair, k] for k in range(3)) / 3 for pair in pairs}
    most = max(sum(mean[pair] for pair in one) for one in pairings(tuple(range(OURS))))
    assert sum(mean[way.group] for way in draw.ways) == pytest.approx(most)


def test_singles_against_each_opponent() -> None:
    format_ = format_of(Singles, 6, net=True, order_known=False)
    table = tabulate_sides(format_)
    for row, (group, _) in enumerate(table.ways):
        for k, other in enumerate(format_.opponents):
            by_hand = points_by_hand(group, other, 1.0, 6, net=True)
            assert table.points[row, k].mean() == pytest.approx(by_hand)
    for side, (group, _) in zip(format_.plan(table).sides, table.ways, strict=True):
        for meeting, other in zip(side.meetings, format_.opponents, strict=True):
            strokes = received((*group, *other), 1.0, net=True)
            assert meeting.received == (tuple(strokes[group[0]]),)
            assert meeting.they_receive == (tuple(strokes[other[0]]),)
            assert meeting.points == pytest.approx(points_by_hand(group, other, 1.0, 6, net=True))
