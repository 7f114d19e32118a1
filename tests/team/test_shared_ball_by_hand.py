"""One ball for two, in small numbers: every pair of drives in turn, and strokes received taken off.

A drive finishes at a place from which the partner holes out in as many strokes as its number, for sure. So it
costs one stroke more. Of each strike there are two drives in a draw set.
"""

from collections.abc import Sequence
from itertools import product
from types import SimpleNamespace
from typing import cast

import numpy as np
import pytest
from scipy.sparse import csr_array, vstack

from holesim.course.course import Ground
from holesim.course.ground_map import plain
from holesim.scoring.score_chances import MOST_STROKES, AlternateShotChances, ScoreChances
from holesim.scoring.strokes_table import TeeStrokes
from holesim.shot.relief import Lie, Lies
from holesim.team.partner_drives import STROKES, PartnerDrives, PartnerStrike, _partner_strike
from holesim.team.shared_ball import PairHole, StrikeInTurn, two_strokes_later
from holesim.team.side_options import Side, SideOption, apply_strokes
from holesim.team.strike_scores import DRAW_SETS, SCORES, TriedStrike
from tests.team.teams import chances

OUT = 0
"""In place of where a drive finishes: out of bounds."""
PLACES = np.arange(1, 9)


def _turns() -> AlternateShotChances:
    """Return what follows from each place: as many strokes as its number, whoever plays next."""

    def at(places: np.ndarray, driver: int) -> np.ndarray:  # noqa: ARG001 - as the real one
        within = np.arange(1, MOST_STROKES + 1) >= places[:, None]
        return np.repeat(within[..., None], 2, axis=2).astype(np.float32)

    return cast("AlternateShotChances", SimpleNamespace(at=at))


def strike(label: str, drives: tuple[int, int], driver: int, penalty: int = 0) -> StrikeInTurn:
    """Return a strike whose drives finish at two places, each with so many penalty strokes."""
    ends = np.tile(drives, DRAW_SETS)
    weights = csr_array((ends[:, None] == PLACES).astype(float))
    replayed = (ends == OUT).astype(float)
    made = PartnerDrives((penalty,), PLACES, weights, replayed)
    return StrikeInTurn(PartnerStrike(label, made), _turns(), driver)


def pair(one: dict[str, tuple[int, int]], other: dict[str, tuple[int, int]]) -> PairHole:
    return PairHole(
        (0, 1),
        ("A", "B"),
        (
            [strike(label, drives, 0) for label, drives in one.items()],
            [strike(label, drives, 1) for label, drives in other.items()],
        ),
    )


def told(option: SideOption) -> dict[int, float]:
    """Return the chance of each score that has one, the same in every draw set."""
    np.testing.assert_allclose(option.chances, option.chances[:1].repeat(DRAW_SETS, axis=0), atol=1e-9)
    return {int(s): round(float(p), 6) for s, p in zip(SCORES, option.chances[0], strict=True) if p > 1e-9}


# --- greensomes -----------------------------------------------------------------------------------


def test_the_better_of_two_drives_is_played_on_with_each_pair_of_strikes() -> None:
    """A's up costs 3 or 6 and down 4; B's up 3 or 6 and down 5.

    Both up: 3 but where both are 6, a quarter. A down, B up: 3 or 4, which is 3.5 and the best. A up, B down:
    3 or 5. Both down: 4. First come everyone's own best, then the best pair, then what changes one strike.
    """
    hole = pair({"up": (2, 5), "down": (3, 3)}, {"up": (2, 5), "down": (4, 4)})
    assert [(option.strikes, told(option)) for option in hole.greensomes()] == [
        (("up", "up"), {3: 0.75, 6: 0.25}),
        (("down", "up"), {3: 0.5, 4: 0.5}),
        (("up", "down"), {3: 0.5, 5: 0.5}),
        (("down", "down"), {4: 1.0}),
    ]


def test_the_best_pair_of_strikes_by_brute_force() -> None:
    """Of 3 x 3 strikes with drives drawn at random, against every pair of drives of every pair of strikes."""
    rng = np.random.default_rng(4)
    for _ in range(10):
        ends = [{name: tuple(rng.integers(1, 8, 2).tolist()) for name in "abc"} for _ in "AB"]
        options = pair(ends[0], ends[1]).greensomes()
        means: dict[tuple[str, ...], float] = {
            (i, j): sum(1 + min(both) for both in product(ends[0][i], ends[1][j])) / 4
            for i, j in product("abc", repeat=2)
        }
        for option in options:
            i, j = option.strikes
            assert option.chances[0] @ SCORES == pytest.approx(means[i, j])
        assert options[0].strikes == ("a", "a")
        assert min(means[option.strikes] for option in options) == pytest.approx(min(means.values()))
        # What either should hit, whatever else the other does in the first option, is among them.
        assert min(means[k, "a"] for k in "bc") in [means[option.strikes] for option in options]


def test_a_drive_out_of_bounds_is_left_for_the_partners() -> None:
    """A's is 3 or out, which costs two strokes and B's next drive, 2 + 4; B's is 4: so 3 or 4.

    From the tee B makes 4, and A 3, or 6 after B has driven again: 4.5.
    """
    hole = pair({"up": (2, OUT)}, {"up": (3, 3)})
    assert hole.tee_chances @ STROKES == pytest.approx([4.5, 4.0])
    (option,) = hole.greensomes()
    assert told(option) == {3: 0.5, 4: 0.5}


def test_where_both_are_out_the_cheaper_one_is_replayed() -> None:
    """A's is 3 or out, B's 4 or out, and 14 strokes are the most that is told apart.

    So A makes 3, 2 + 4, 4 + 3, 6 + 4, 8 + 3, 10 + 4 or more, each half as likely as the last: 5.281. B makes
    4, 2 + 3, 4 + 4, 6 + 3, 8 + 4, 10 + 3 or more: 5.609. Where both are out A's drive costs 2 + B's strokes
    and B's 2 + A's, which is less: 5, 8, 9, 12, 13 or more, 7.219.
    """
    hole = pair({"up": (2, OUT)}, {"up": (3, OUT)})
    a = 3 / 2 + 6 / 4 + 7 / 8 + 10 / 16 + 11 / 32 + 14 / 64 + 14 / 64
    b = 4 / 2 + 5 / 4 + 8 / 8 + 9 / 16 + 12 / 32 + 13 / 64 + 14 / 64
    assert hole.tee_chances @ STROKES == pytest.approx([a, b])
    both = 5 / 2 + 8 / 4 + 9 / 8 + 12 / 16 + 13 / 32 + 14 / 32
    (option,) = hole.greensomes()
    assert option.chances[0] @ SCORES == pytest.approx((3 + 3 + 4 + both) / 4)


# --- foursomes ------------------------------------------------------------------------------------


def test_whoever_drives_hits_a_strike_of_their_own() -> None:
    """A drives: 3 or out with up, after which B makes 4 two strokes later; 5 with down. B drives: 4."""
    hole = pair({"up": (2, OUT), "down": (4, 4)}, {"up": (3, 3)})
    assert [(one.first, one.strikes, told(one)) for one in hole.foursomes(0)] == [
        ("A", ("up",), {3: 0.5, 6: 0.5}),
        ("A", ("down",), {5: 1.0}),
    ]
    assert [(one.first, one.strikes, told(one)) for one in hole.foursomes(1)] == [("B", ("up",), {4: 1.0})]


def test_each_hits_the_strike_that_costs_them_least_from_the_tee() -> None:
    """A's up is 3 or 2 + 4, on average 4.5, and down 4.4 would be less: here 4, so down it is."""
    hole = pair({"up": (2, OUT), "down": (3, 3)}, {"up": (3, 3), "down": (2, 7)})
    assert hole.tee_chances @ STROKES == pytest.approx([4.0, 4.0])
    # Where down costs 5, up it is.
    hole = pair({"up": (2, OUT), "down": (4, 4)}, {"up": (3, 3), "down": (2, 7)})
    assert hole.tee_chances @ STROKES == pytest.approx([4.5, 4.0])


def test_a_penalty_stroke_counts() -> None:
    """A drive to place 2 in a penalty area: a stroke, another, and two."""
    made = strike("up", (2, 2), 0, penalty=1)
    assert made.played_on[1, 0] @ STROKES == pytest.approx(4)
    np.testing.assert_allclose(made.costs[1], 4.0)


def test_drives_that_cost_different_penalties_count_each_with_its_own() -> None:
    """One drive to place 2 and one to place 3 with a penalty stroke: 3, and 1 + 1 + 3."""
    free, penalised = (
        csr_array((np.tile(ends, DRAW_SETS)[:, None] == PLACES).astype(float))
        for ends in ((2, OUT), (OUT, 3))
    )
    weights = csr_array(vstack([free, penalised]))
    drives = PartnerDrives((0, 1), PLACES, weights, np.zeros(2 * DRAW_SETS))
    made = StrikeInTurn(PartnerStrike("up", drives), _turns(), 0)
    for chances_of in made.played_on[1]:
        assert chances_of[[2, 4]] == pytest.approx([0.5, 0.5])
    assert made.costs[1].tolist() == [3.0, 5.0] * DRAW_SETS


@pytest.mark.parametrize("dropped", [[0, 0, 0, 0], [0, 1, 0, 0]])
@pytest.mark.parametrize("penalty", [1, 2])
def test_where_drives_are_played_on_from(
    monkeypatch: pytest.MonkeyPatch, dropped: list[float], penalty: int
) -> None:
    """Four drives, the first at place 1 and the third at place 3 with a penalty; the fourth is replayed.

    The second is replayed, too, or dropped on the fairway beside it, place 12, for two strokes.
    """
    away = np.array(dropped, dtype=float)
    replayed = np.array([0, 1, 0, 1]) - away

    def around(lie: object, x: np.ndarray, _: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        return (x + 10 * (lie is Lie.FAIRWAY))[:, None], np.ones((4, 1))

    def parts(lies: Lies, cost: TeeStrokes) -> tuple[np.ndarray, np.ndarray]:
        assert lies is tried.lies
        assert cost is tried.cost
        return np.array([1.0, 0, 1, 0]), away

    made = SimpleNamespace(
        label="up",
        lies=SimpleNamespace(x=np.arange(1, 5), y=np.zeros(4)),
        cost=SimpleNamespace(replayed=replayed),
    )
    tried = cast("TriedStrike", made)
    monkeypatch.setattr("holesim.team.partner_drives.shares_played_on", parts)
    met = np.zeros(4, dtype=np.int64), np.array([0, 0, penalty, 0])
    monkeypatch.setattr("holesim.team.partner_drives.next_lies", lambda *_: met)
    scores = cast("ScoreChances", SimpleNamespace(around=around, by_place=np.zeros((20, 1))))
    drives = _partner_strike(tried, plain(Ground.FAIRWAY), scores).drives
    found = {
        (n, drive, int(drives.places[column])): float(drives.weights[k * 4 + drive, column])
        for k, n in enumerate(drives.penalties)
        for drive in range(4)
        for column in range(len(drives.places))
        if drives.weights[k * 4 + drive, column]
    }
    expected = {(0, 0, 1): 1.0, (penalty, 2, 3): 1.0} | ({(2, 1, 12): 1.0} if any(dropped) else {})
    assert found == expected
    assert drives.replayed.tolist() == replayed.tolist()


def test_two_strokes_later_nothing_is_lost() -> None:
    """What takes one stroke takes three; what takes more than can be told apart counts as the most."""
    first = np.eye(len(STROKES))
    assert two_strokes_later(first[0]) @ STROKES == 3
    later = two_strokes_later(np.full(len(STROKES), 1 / len(STROKES)))
    assert later.sum() == pytest.approx(1)
    assert later[:2].tolist() == [0, 0]
    assert later[-1] == pytest.approx(3 / len(STROKES))


# --- strokes received -----------------------------------------------------------------------------


def side(*holes: Sequence[SideOption]) -> Side:
    return Side((0, 1), ("A", "B"), tuple(map(tuple, holes)))


def option(*of_strokes: float, strikes: tuple[str, ...] = ("up", "up")) -> SideOption:
    return SideOption(strikes, chances(*of_strokes))


def test_strokes_received_are_taken_off_and_strokes_given_are_added() -> None:
    """A pair makes 4, 5 and 3, with one stroke on the first hole, none on the second, and gives one back."""
    gross = side([option(0, 0, 0, 1)], [option(0, 0, 0, 0, 1)], [option(0, 0, 1)])
    assert gross.strokes_by(gross.own_best).tolist() == [12.0] * DRAW_SETS
    net = apply_strokes(gross, 0, [1, 0, -1])
    assert [told(of_hole[0]) for of_hole in net.holes] == [{3: 1.0}, {5: 1.0}, {4: 1.0}]
    two = apply_strokes(gross, 2, [1, 1, 0])
    assert two.strokes_by(two.own_best).tolist() == [10.0] * DRAW_SETS
    assert (two.received, gross.received) == ((2,), ())


def test_a_side_hits_the_option_of_fewest_strokes_where_it_saves_enough() -> None:
    """A round is the sum of its holes; another option must save 0.02 strokes on a hole."""
    plain = option(0, 0, 0, 1)
    better, hardly = option(0, 0, 0.5, 0.5), option(0, 0, 0.015, 0.985)
    one = side([plain, hardly, better], [plain, hardly], [plain])
    assert one.choose_options() == (2, 0, 0)
    assert one.own_best == (0, 0, 0)
    assert one.strokes_by((2, 0, 0))[0] == pytest.approx(3.5 + 4 + 4)
    assert one.strokes_by((1, 1, 0))[0] == pytest.approx(12 - 2 * 0.015)
    kept = one.keeping((2, 0, 0))
    assert [len(options) for options in kept.holes] == [1, 1, 1]
    assert kept.strokes_by(kept.own_best)[0] == pytest.approx(11.5)
    assert [given.shape for given in one.chances] == [(n, DRAW_SETS, len(SCORES)) for n in (3, 2, 1)]


def test_who_drives_by_an_option() -> None:
    alone = SideOption(("up",), chances(0, 0, 0, 1), first="B")
    assert side([alone]).drivers(alone) == ("B",)
    assert side([alone]).drivers(option(0, 0, 0, 1)) == ("A", "B")
