"""What two make of a hole with one ball."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from holesim.course.course import Course
from holesim.player.make_player import typical_player
from holesim.player.player import Player
from holesim.scoring.score_chances import solve_alternate_shots
from holesim.shot.relief import Lie
from holesim.team.partner_drives import STROKES, Partner, make_partner
from holesim.team.roster_scores import ToPlay, play_course
from holesim.team.shared_ball import PairHole, make_pair_holes, two_strokes_later
from holesim.team.strike_scores import DRAW_SETS, pad_to_scores
from holesim.units import MPH
from tests.team.teams import APART, FEW, LONG, in_a_row


def partners_on(course: Course, other: Player) -> list[list[Partner]]:
    """Return by hole what the long hitter and another bring to a shared ball."""
    both = ToPlay(FEW, (0, 1), make_partner)
    (holes,) = play_course(course, [LONG, other], (course.holes[0].tees,) * 2, [both])
    return holes


def unequal_pair() -> PairHole:
    """Return a pair, one of whom is wild, between boundaries, with one strike each."""
    course = in_a_row((4, 400), boundary=35)
    wild = typical_player("Dunstan Fell", "man", 12.0, 110 * MPH)
    (hole,) = partners_on(course, wild)
    (pair,) = make_pair_holes(hole, ("long", "wild"), [["up"], ["up"]])
    return pair


def test_the_better_of_two_drives_counts() -> None:
    """Against all pairs of drives, one after another: the one that costs less is played on."""
    pair, each = unequal_pair(), []
    for who in (0, 1):
        (shared,) = pair.strikes[who]
        drives, then = shared.strike.drives, shared.then[..., 1 - who, None]
        by_drive = [drives.chances(then, one)[0].sum(axis=0) for one in np.eye(len(drives.replayed))]
        per_set = len(by_drive) // DRAW_SETS
        each.append(
            per_set * np.stack(by_drive)
            + drives.replayed[:, None] * two_strokes_later(pair.tee_chances[1 - who])
        )
    mine, theirs = each
    np.testing.assert_allclose(mine.sum(axis=1), 1, atol=1e-6)
    mine_counts = (mine @ STROKES)[:, None] <= theirs @ STROKES
    played = [mine_counts.mean(axis=1)[:, None] * mine, (~mine_counts).mean(axis=0)[:, None] * theirs]
    total = np.sum([one.reshape(DRAW_SETS, per_set, -1).mean(axis=1) for one in played], axis=0)
    (option,) = pair.greensomes()
    expected = pad_to_scores(total / total.sum(axis=1, keepdims=True))
    np.testing.assert_allclose(option.chances, expected, atol=1e-6)


def test_after_out_of_bounds_the_partner_plays_again() -> None:
    """E_A = (1 - p_A) m_A + p_A (2 + E_B), and likewise E_B (Rule 22.3), against their solution."""
    pair = unequal_pair()
    chances = pair.tee_chances
    (on_a, p_a), (on_b, p_b) = ((shots.on[0], shots.replayed[0]) for shots in pair.tee_shots)
    assert min(p_a, p_b) > 0.05
    m = [float(on @ STROKES) / (1 - p) for on, p in ((on_a, p_a), (on_b, p_b))]
    equations = np.array([[1, -p_a], [-p_b, 1]])
    E = np.linalg.solve(equations, [(1 - p_a) * m[0] + 2 * p_a, (1 - p_b) * m[1] + 2 * p_b])
    assert chances.sum(axis=1) == pytest.approx(1, abs=1e-6)
    # Strokes beyond the last that is told apart, one round in some hundreds here, count as so many.
    assert chances @ STROKES == pytest.approx(E, abs=0.01)
    assert E[1] > E[0]


def test_a_ball_played_in_turn_lies_between_what_either_would_make_of_it() -> None:
    course = in_a_row((5, 540))
    weak = typical_player("Hal Marrin", "man", 24.0, 84 * MPH)
    (hole,) = partners_on(course, weak)
    scores = [one.scores for one in hole]
    turns = solve_alternate_shots(scores, [one.shots for one in hole], np.arange(len(scores[0].by_place)))
    x, y = np.full(5, APART), np.linspace(200, 400, 5)

    def mean(within: NDArray[np.float32]) -> NDArray[np.float64]:
        stored = np.rint(65535 * within.T).astype(np.uint16)
        chances = replace(scores[0], by_place=stored).at(Lie.FAIRWAY, x, y)
        return np.asarray(1 + (1 - chances).sum(axis=1))

    # Who has themselves for a partner plays as alone, whose chances are kept to a 65,535th.
    np.testing.assert_allclose(turns.within[0][..., 0], scores[0].within, atol=1e-4)
    good, bad = mean(scores[0].within), mean(scores[1].within)
    for turn in (mean(turns.within[1][..., 0]), mean(turns.within[0][..., 1])):
        assert (good < turn).all()
        assert (turn < bad).all()
