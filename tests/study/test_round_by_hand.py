"""A round of three holes, reviewed by hand.

Hole 1: up was planned and hit, onto the fairway, and the score was 4. Hole 2: down was planned, but up hit,
into a penalty area, for a 6. Hole 3: a 7-iron, the only strike, onto the green, for a 3.
"""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from math import atan2, degrees, hypot, log, sqrt
from types import SimpleNamespace

import numpy as np
import pytest
from scipy.special import ndtri

from holesim.errors import InputError
from holesim.plan.plan_tables import PlanFile, StrikeFile, TeeFile
from holesim.scoring.strokes_table import DISTANCES
from holesim.study.lesson import Measure, find_lesson, normal_scores
from holesim.study.review import Review, compare_round
from holesim.study.round_file import DriveResult, RoundFile, UnplannedDrive, read_drive
from holesim.study.round_strokes import find_differences, find_luck
from holesim.units import YARD
from tests.study.plan_by_hand import FIRST, PROBABILITIES, SECOND, THIRD, normal, plan_of, strike, tee

HALF = 1.96
PLAN = plan_of(FIRST, SECOND, THIRD)


def drive(
    at: TeeFile, hit: StrikeFile, lie: str, score: float, total: float = np.nan, side: float = np.nan
) -> DriveResult:
    """Return a drive of so many metres, so many to the right."""
    return DriveResult(2, at, hit, lie, total / YARD, side / YARD, score)


ROUND = (
    drive(FIRST, FIRST.strikes[0], "fairway", 4, 210, 0),
    drive(SECOND, SECOND.strikes[1], "penalty", 6, 200, 50),
    drive(THIRD, THIRD.strikes[0], "green", 3),
)


@pytest.fixture(autouse=True)
def _strokes_by_lie_and_distance() -> Iterator[None]:
    """One stroke on the green, 2 to 3 on other lies, and one more every 100 m."""
    table = np.array([1.0, 2.0, 2.2, 2.5, 2.6, 3.0])[:, None] + DISTANCES / 100
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("holesim.study.round_strokes.make_strokes_table", lambda _: table)
        yield


def reviewed(*drives: DriveResult, plan: PlanFile = PLAN) -> Review:
    return compare_round(RoundFile(drives), plan, inputs={"plan.json": "0" * 64})


# --- luck -----------------------------------------------------------------------------------------


def test_the_score_and_what_was_expected_before_and_after_the_drives() -> None:
    """What a drive is worth, by lie and distance, less what its strike's drives are worth on average.

    Hole 1: 90 m are left from the fairway, 1 + 2 + 0.9 = 3.9. Planned drives leave 100 and 80 m, half of them
    in the rough: 4.0. So 0.1 was saved.
    Hole 2: aimed east, 50 m right is south, and sqrt(200² - 50²) = 193.65 m along: 106.35 m short of the flag
    and 50 m aside, 117.52 m. In a penalty area 1 + 1 + 2.2 + 1.1752 = 5.3752. Planned drives leave 100 and
    150 m: 0.2 x 5.45 in the penalty area, 0.6 x 4.25 on the fairway, and out 0.2 x (2 + 4.5), 4.94 in all.
    Hole 3: no distance was noted, and planned ones leave 5 and 15 m: 2.1, and with half in sand 2.9.
    Scores vary by 0.2 x 1.1² + 0.5 x 0.1² + 0.3 x 0.9² = 0.49, by 0.25, and by 0.5.
    """
    luck = find_luck(ROUND, PLAN)
    assert luck is not None
    assert (luck.holes, luck.score) == (3, 13)
    assert luck.planned == pytest.approx(4.2 + 4.5 + 3.1)
    left = hypot(300 - sqrt(200**2 - 50**2), 50) / 100
    assert luck.expected == pytest.approx(11.8 + (3.9 - 4.0) + (4.2 + left - 4.94) + (2.1 - 2.9))
    half = HALF * sqrt(0.49 + 0.25 + 0.5)
    assert (luck.low, luck.high) == pytest.approx((luck.expected - half, luck.expected + half))


def test_out_of_bounds_costs_two_strokes_and_the_same_drive_again() -> None:
    """2 + 4.5, where 4.94 were expected of the drive by the table."""
    luck = find_luck([drive(SECOND, SECOND.strikes[1], "out", 7, 200, 50)], PLAN)
    assert luck is not None
    assert luck.expected == pytest.approx(4.5 + 6.5 - 4.94)


def test_a_drive_without_a_side_finished_on_its_line() -> None:
    luck = find_luck([drive(SECOND, SECOND.strikes[1], "rough", 4, 200)], PLAN)
    assert luck is not None
    assert luck.expected == pytest.approx(4.5 + (1 + 2.2 + 1.0) - 4.94)


def test_a_drive_is_placed_along_its_aim_and_to_the_right_of_it() -> None:
    """Aimed 3 east for 4 north, from 300 m east and 50 m north: 100 m along the aim and 50 m right of it.

    That is 60 + 40 m east and 80 - 30 m north, where the flag is 100 m farther north: 1 + 2 + 1.0 strokes.
    Planned drives leave 120 m: 4.2.
    """
    at = tee(
        2, 4,
        strike("up", 4.5, heading=degrees(atan2(3, 4)), finishes=((400, 80),), fairway=1.0),
        middle=(300.0, 50.0),
    )  # fmt: skip
    plan = plan_of(at, pins={2: (400.0, 200.0)})
    luck = find_luck([drive(at, at.strikes[0], "fairway", 4, hypot(100, 50), 50)], plan)
    assert luck is not None
    assert luck.expected == pytest.approx(4.5 + 4.0 - 4.2)


def test_holes_without_a_finish_or_a_score_tell_no_luck() -> None:
    unknown = [drive(FIRST, FIRST.strikes[0], "", 4), drive(FIRST, FIRST.strikes[0], "rough", np.nan)]
    assert find_luck(unknown, PLAN) is None
    luck = find_luck([*unknown, *ROUND[:1]], PLAN)
    assert luck is not None
    assert luck.holes == 1


# --- choices --------------------------------------------------------------------------------------


def test_what_the_choices_of_the_round_saved_and_cost() -> None:
    """The rivals cost 0.3 (0.1 to 0.5) and 0.1 (-0.1 to 0.3) more: 0.4, and half-widths add to 0.4.

    Up at hole 2 cost 0.1 (-0.1 to 0.3) more than the plan's down. On the two holes with another strike the
    scores are 4 - 4.2 and 6 - 4.5 above what was expected, and 4 - 4.5 and 6 - 4.4 above the other strike's,
    give or take 1.96 x sqrt(0.49 + 0.25). The strikes hit would save 0.3 - 0.1, which it takes (half / 0.2)²
    times as many holes to tell.
    """
    (saved, strayed, card, other), times = find_differences(ROUND, PLAN)
    assert (saved.holes, strayed.holes, card.holes, other.holes) == (2, 1, 2, 2)
    assert saved.name == "the plan's strikes: expected to save over the others"
    assert (saved.strokes, saved.low, saved.high) == pytest.approx((0.4, 0.0, 0.8))
    assert strayed.name == "other strikes than planned: expected to cost"
    assert (strayed.strokes, strayed.low, strayed.high) == pytest.approx((0.1, -0.1, 0.3))
    half = HALF * sqrt(0.49 + 0.25)
    assert card.name == "score card, more than expected"
    assert (card.strokes, card.low, card.high) == pytest.approx((1.3, 1.3 - half, 1.3 + half))
    assert other.name == "score card, more than expected of the other strike"
    assert (other.strokes, other.low, other.high) == pytest.approx((1.1, 1.1 - half, 1.1 + half))
    assert times == pytest.approx((half / 0.2) ** 2)


def test_for_another_goal_strokes_are_as_sure_as_their_own_errors() -> None:
    """Of 0.03 and 0.04 strokes, 0.05 together, on each of two holes."""
    saved = find_differences(ROUND, plan_of(FIRST, SECOND, THIRD, goal="par"))[0][0]
    assert (saved.strokes, saved.high - saved.low) == pytest.approx((0.4, 4 * HALF * 0.05))


def test_the_other_strike_is_one_with_the_same_club_where_there_is_one() -> None:
    """Beside up, down with the driver counts and not the wood, which costs less; beside the wood, up does."""
    at = tee(1, 4, strike("up", 4.0), strike("3-wood", 4.1), strike("down", 4.3), strike("level", 4.6))
    for hit, other in ((0, 4.3), (1, 4.0), (2, 4.0)):
        found, times = find_differences([drive(at, at.strikes[hit], "fairway", 5)], plan_of(at))
        assert found[3].strokes == pytest.approx(5 - other)
        assert times is not None
    # Strikes that cost the same are never told apart.
    even = tee(1, 4, strike("up", 4.0), strike("down", 4.004))
    assert find_differences([drive(even, even.strikes[0], "fairway", 5)], plan_of(even))[1] is None


def test_without_a_score_the_card_tells_nothing() -> None:
    found, times = find_differences([drive(FIRST, FIRST.strikes[0], "fairway", np.nan)], PLAN)
    assert [difference.name.split(":")[0] for difference in found] == [
        "the plan's strikes", "other strikes than planned",
    ]  # fmt: skip
    assert times is None


def test_a_round_as_planned_saves_what_the_plan_says_it_would() -> None:
    """Played twice, twice as much; not where a hole is missing, or another strike was hit."""
    none = SimpleNamespace(strokes=0.0, low=0.0, high=0.0)
    totals = {
        "always up": SimpleNamespace(strokes=0.5, low=0.1, high=0.9),
        "always down": none,  # which is what was planned
        "best by hole": SimpleNamespace(strokes=-0.02, low=-0.1, high=0.05),
    }
    plan = plan_of(FIRST, SECOND, over_plan={"back": totals})
    first, second = (drive(at, at.chosen(), "fairway", np.nan) for at in (FIRST, SECOND))
    (once,) = find_differences([first, second], plan)[0][2:]
    assert once.name == "the plan was expected to save, compared with always up,"
    assert (once.holes, once.strokes, once.low, once.high) == pytest.approx((2, 0.5, 0.1, 0.9))
    (twice,) = find_differences([first, second] * 2, plan)[0][2:]
    assert (twice.holes, twice.strokes, twice.low, twice.high) == pytest.approx((4, 1.0, 0.2, 1.8))
    for other in (
        [first],
        [first, first, second],
        [first, drive(SECOND, SECOND.strikes[1], "rough", np.nan)],
    ):
        assert len(find_differences(other, plan)[0]) == 2


def test_tees_that_nobody_played_from_saved_nothing() -> None:
    """Of a plan from two tees, of which one was played."""
    front = tee(1, 4, strike("up", 4.0), strike("down", 4.2), name="front")
    totals = {"always down": SimpleNamespace(strokes=0.3, low=0.1, high=0.5)}
    plan = plan_of(FIRST, front, over_plan={"back": totals, "front": totals})
    found = find_differences([drive(FIRST, FIRST.strikes[0], "rough", np.nan)], plan)[0][2:]
    assert [(one.holes, one.strokes) for one in found] == [(1, 0.3)]


# --- what happened, and its chances -----------------------------------------------------------------


def test_where_drives_finished_and_what_was_scored_are_counted() -> None:
    """A fairway or green was given 0.5, 0.6 and 0.5, so none 0.1, one 0.35, two 0.4 and three 0.15."""
    counts = {count.name: count for count in reviewed(*ROUND).counts}
    assert {count.drives for count in counts.values()} == {3}
    assert {name: count.observed for name, count in counts.items() if count.observed} == {
        "fairway or green": 2, "penalty area or out": 1, "par or better": 2,
    }  # fmt: skip
    assert {name: count.expected for name, count in counts.items()} == pytest.approx(
        {
            "fairway or green": 1.6, "penalty area or out": 0.4, "rough": 0.5, "heavy rough": 0.0,
            "sand": 0.5, "trees": 0.0, "par or better": 0.7 + 0.5 + 0.75,
        },
        abs=1e-6,
    )  # fmt: skip
    fairway = counts["fairway or green"]
    assert (fairway.low, fairway.high) == (0, 3)
    assert fairway.chance == pytest.approx(1.0)
    # One is as likely as that or less together with none and three.
    rough = drive(FIRST, FIRST.strikes[0], "rough", 4)
    again = reviewed(rough, *ROUND[1:]).counts[0]
    assert again.observed == 1
    assert again.chance == pytest.approx(0.1 + 0.35 + 0.15)


def test_forecasts_are_scored() -> None:
    """By hand, what was got and what a right plan gets on average.

    Brier, fairway or green: (0.5² + 0.6² + 0.5²) / 3, and p (1 - p) on average. Logarithmic: of the finishes'
    chances, 0.5, 0.2 and 0.5. Ranked probability: 0.2² + 0.3² of 4 by 0.2, 0.5 and 0.3; 0.5² of 6, which
    counts as the most that is told apart, 5; and 0.25² + 0.25² of 3.
    """
    scores = {score.name: score for score in reviewed(*ROUND).scores}
    brier = scores["Brier, fairway or green"]
    assert brier.cases == 3
    assert brier.got == pytest.approx((0.25 + 0.36 + 0.25) / 3)
    assert brier.expected == pytest.approx((0.25 + 0.24 + 0.25) / 3)
    water = scores["Brier, penalty area or out"]
    assert (water.got, water.expected) == pytest.approx((0.6**2 / 3, 0.4 * 0.6 / 3), abs=1e-6)
    finishes = scores["logarithmic, where drives finished"]
    assert finishes.got == pytest.approx(-(2 * log(0.5) + log(0.2)) / 3, abs=1e-6)
    ranked = scores["ranked probability, score on the hole"]
    assert ranked.cases == 3
    assert ranked.got == pytest.approx((0.13 + 0.25 + 0.125) / 3)
    for score in scores.values():
        assert 0 < score.chance <= 1


def test_a_drive_s_place_among_those_planned() -> None:
    """Hole 1: as long and as straight as the middle one. Hole 2: a standard deviation right of it."""
    found = reviewed(*ROUND)
    assert found.probabilities["total"].tolist() == pytest.approx([0.5], abs=1e-3)
    assert found.probabilities["side"].tolist() == pytest.approx([0.5, 0.8413], abs=1e-3)
    assert found.evenness == {}  # too few to judge
    assert found.lessons == {"side": None, "total": None}
    five = reviewed(*ROUND[:1] * 5)
    # All in the middle: as far from even as 0.5 is from 0 and 1, of which five have a chance of 0.1.
    assert five.evenness.keys() == {"side", "total"}
    assert five.evenness["side"] == pytest.approx(2 * 0.5**5, abs=0.05)


def test_what_was_not_noted_is_not_judged() -> None:
    unknown = drive(FIRST, FIRST.strikes[0], "", np.nan)
    found = reviewed(unknown)
    assert (found.counts, found.scores, found.luck) == ((), (), None)
    lie_alone = reviewed(drive(FIRST, FIRST.strikes[0], "rough", np.nan))
    assert len(lie_alone.counts) == 6
    score_alone = reviewed(drive(FIRST, FIRST.strikes[0], "", 4))
    assert [count.name for count in score_alone.counts] == ["par or better"]


def test_a_finish_that_no_planned_drive_had_counts_as_half_a_drive() -> None:
    """Of 100 drives 50 on the fairway and 50 in the rough: the six others half a drive each, of 103."""
    found = reviewed(drive(FIRST, FIRST.strikes[0], "trees", 5), plan=plan_of(FIRST, draws=100))
    counts = {count.name: count for count in found.counts}
    assert counts["trees"].expected == pytest.approx(0.5 / 103)
    assert counts["rough"].expected == pytest.approx(50 / 103)
    assert counts["penalty area or out"].expected == pytest.approx(1 / 103)


def test_a_hole_in_one_is_a_score() -> None:
    ace = drive(THIRD, THIRD.strikes[0], "green", 1)
    found = reviewed(ace)
    assert found.counts[-1].observed == 1
    assert found.luck is not None
    assert found.luck.score == 1


def test_the_review_as_it_is_kept() -> None:
    dated = RoundFile(ROUND[:1], played_on=date(2026, 5, 31))
    assert compare_round(dated, PLAN, inputs={}).to_dict()["date"] == "2026-05-31"
    kept = reviewed(*ROUND).to_dict()
    assert (kept["course"], kept["player"], kept["date"], kept["drives"]) == ("A Course", "A Golfer", None, 3)
    assert (kept["bias"], kept["spread"], kept["even"]) == ({}, {}, {})
    assert kept["luck"]["score"] == 13
    assert kept["levels"]["side"] == pytest.approx([0.5, 0.8413], abs=1e-3)
    assert [gain["holes"] for gain in kept["gains"]] == [2, 1, 2, 2]
    assert kept["counts"][0]["observed"] == 2


# --- what the drives tell of the golfer -------------------------------------------------------------

SIDES = (-2.0, 3.0, 8.0, 13.0, 18.0)
"""How far right of the aim five drives finish [yd]: 8 on average, with deviations of 10, 5, 0, 5 and 10."""


def five(*, total: bool = False) -> list[DriveResult]:
    """Return the five drives, or five as much longer than 200 yd, of a strike that spreads by 10 yd."""
    hit = strike("up", 4.2, total=normal(200, 10)) if total else strike("up", 4.2, side=normal(0, 10))
    at = tee(1, 4, hit)
    return [
        DriveResult(2, at, hit, "rough", 200 + off if total else np.nan, np.nan if total else off, np.nan)
        for off in SIDES
    ]


@pytest.mark.parametrize("measure", ["side", "total"])
def test_the_bias_and_the_spread_of_five_drives(measure: Measure) -> None:
    """The standard deviation is sqrt(250 / 4) = 7.906 yd, 0.7906 of the plan's 10.

    By Student's t of 4 degrees of freedom, 2.776, the bias is 8 ± 2.776 x 7.906 / sqrt(5); by chi squared,
    0.4844 to 11.143, the spread is from 0.7906 x sqrt(4 / 11.143) to 0.7906 x sqrt(4 / 0.4844).
    """
    found = find_lesson(five(total=measure == "total"), measure, PROBABILITIES)
    assert found is not None
    assert found.drives == 5
    assert found.offsets.tolist() == pytest.approx(SIDES)
    assert found.planned.tolist() == pytest.approx(normal(0, 10))
    se = sqrt(62.5 / 5)
    assert (found.bias.value, found.bias_se) == pytest.approx((8.0, se), abs=0.01)
    assert (found.bias.low, found.bias.high) == pytest.approx((8 - 2.776 * se, 8 + 2.776 * se), abs=0.02)
    ends = [0.7906 * sqrt(4 / x) for x in (11.143, 0.4844)]
    assert (found.spread.value, found.spread.low, found.spread.high) == pytest.approx(
        (0.7906, *ends), abs=0.003
    )
    assert 0.0 in found.bias
    assert found.bias.low in found.bias
    assert found.bias.high in found.bias
    assert (-2.0 in found.bias, 18.0 in found.bias) == (False, False)


def test_drives_that_tell_nothing_of_a_measure_do_not_count() -> None:
    """A ball that is out, a side not recorded, another club, and a strike whose plan has no quantiles."""
    some = five()
    wood = strike("3-wood", 4.2, side=normal(0, 10))
    bare = strike("up", 4.2)
    more = [
        replace(some[0], lie="out"),
        replace(some[0], side=np.nan),
        replace(some[0], strike=wood),
        replace(some[0], strike=bare),
    ]
    known, found = (find_lesson(drives, "side", PROBABILITIES) for drives in (some, [*more, *some]))
    assert known is not None
    assert found is not None
    assert (found.drives, found.bias, found.spread) == (5, known.bias, known.spread)
    assert find_lesson([*more, *some[:4]], "side", PROBABILITIES) is None
    assert find_lesson(some, "total", PROBABILITIES) is None


def test_drives_of_two_strikes_count_each_from_their_own_middle() -> None:
    """Ten drives: five about the first strike's middle, five as far about the other's, 30 yd right of it."""
    some = five()
    other = strike("down", 4.2, side=normal(30, 10))
    both = [*some, *(replace(drive, strike=other, side=drive.side + 30) for drive in some)]
    found = find_lesson(both, "side", PROBABILITIES)
    assert found is not None
    assert found.offsets.tolist() == pytest.approx(SIDES * 2)
    assert found.bias.value == pytest.approx(8.0, abs=0.01)
    assert found.spread.value == pytest.approx(sqrt(500 / 9) / 10, abs=0.001)


def test_planned_misses_are_those_of_all_strikes_as_often_as_each_was_hit() -> None:
    """Five drives by a strike of 10 yd, one by another of 40: outer quantiles of 19.6 and 78.4 yd.

    Up to 19.6 yd lie 0.975 of the first and 0.619 of the other, 0.916 in all; up to 78.4 yd all of the first
    and 0.975 of the other, 0.996 in all. So up to 63.1 yd it is 0.975.
    """
    some = five()
    wild = strike("down", 4.2, side=normal(30, 40))
    found = find_lesson([*some, replace(some[0], strike=wild, side=30.0)], "side", PROBABILITIES)
    assert found is not None
    assert found.planned.tolist() == pytest.approx([-63.1, 0.0, 63.1], abs=0.1)


def test_beyond_the_plans_quantiles_the_distribution_goes_on_as_a_normal_one() -> None:
    """About 10 with a standard deviation of 20, known from the tenth to the nine tenths."""
    chances = np.array([0.1, 0.3, 0.7, 0.9])
    values = 10 + 20 * np.array([-2.5, -2.0, -0.4, 0.0, 0.4, 2.0, 2.5])
    found = normal_scores(values, 10 + 20 * ndtri(chances), chances)
    assert found.tolist() == pytest.approx([-2.5, -2.0, -0.4, 0.0, 0.4, 2.0, 2.5], abs=0.005)


# --- the round as a table ---------------------------------------------------------------------------


def read(**cells: str) -> DriveResult | UnplannedDrive:
    return read_drive(cells, PLAN, "round.csv", 2)


def test_a_row_of_the_table_is_a_drive() -> None:
    found = read(
        hole="2", tee="BACK", club="Driver", strike="Up", lie="Heavy-Rough", total_yd="240", side_yd="12 L",
        score="5",
    )  # fmt: skip
    assert found == DriveResult(2, SECOND, SECOND.strikes[1], "heavy_rough", 240.0, -12.0, 5.0)
    bare = read(hole="2")
    assert isinstance(bare, DriveResult)
    assert (bare.strike, bare.lie) == (SECOND.strikes[0], "")  # as planned
    assert np.isnan([bare.total, bare.side, bare.score]).all()


def test_the_strike_that_a_row_means() -> None:
    """A club alone is its strike that was planned, or its best; a strike alone is the driver's."""
    assert read(hole="2", club="driver") == read(hole="2")
    for cells, label in (({"strike": "up"}, "up"), ({"strike": "down"}, "down")):
        found = read(hole="2", **cells)
        assert isinstance(found, DriveResult)
        assert found.strike.label == label
    at = tee(1, 4, strike("up", 4.0), strike("3-wood", 4.1), strike("down", 4.3), choice=1)
    plan = plan_of(at)
    for cells, label in (({"club": "driver"}, "up"), ({"club": "3-Wood"}, "3-wood"), ({}, "3-wood")):
        hit = read_drive({"hole": "1"} | cells, plan, "round.csv", 2)
        assert isinstance(hit, DriveResult)
        assert hit.strike.label == label


@pytest.mark.parametrize(
    ("cells", "hit"),
    [
        ({"strike": "level"}, "level"),
        ({"club": "driver", "strike": "level"}, "level"),
        ({"club": "9-wood"}, "9-wood"),
        ({"club": "9-wood", "strike": "up"}, "9-wood"),
    ],
)
def test_a_strike_that_was_not_planned_is_named(cells: dict[str, str], hit: str) -> None:
    assert read(hole="2", **cells) == UnplannedDrive(2, 2, hit)


@pytest.mark.parametrize(
    ("cells", "said"),
    [
        ({"hole": "2", "total_yd": "450"}, ""),
        ({"hole": "2", "total_yd": "451"}, "total_yd: '451' is not a number from 0 to 450"),
        ({"hole": "2", "side_yd": "200 R"}, ""),
        ({"hole": "2", "side_yd": "201 R"}, "side_yd: '201 R' is not a number from -200 to 200"),
        ({"hole": "2", "score": "1"}, ""),
        ({"hole": "2", "score": "30"}, ""),
        ({"hole": "2", "score": "0"}, "score: '0' is not a number from 1 to 30"),
        ({"hole": "2", "score": "31"}, "score: '31' is not a number from 1 to 30"),
        ({"hole": "2", "score": "4.5"}, "score: 4.5 is not a whole number"),
        ({"hole": "2", "tee": "blue"}, "tee: 'blue' is not in the plan; give back"),
        ({"hole": "7"}, "hole: '7' is not in the plan; the plan has 1, 2, 3"),
        ({}, "hole: '' is not in the plan"),
    ],
)
def test_numbers_are_taken_within_bounds(cells: dict[str, str], said: str) -> None:
    if said:
        with pytest.raises(InputError, match=f"round.csv: line 2, {said}"):
            read(**cells)
    else:
        assert isinstance(read(**cells), DriveResult)


def test_of_two_tees_the_row_says_which() -> None:
    front = tee(2, 4, strike("down", 4.1), name="front")
    plan = plan_of(SECOND, front)
    found = read_drive({"hole": "2", "tee": "Front"}, plan, "round.csv", 2)
    assert isinstance(found, DriveResult)
    assert found.tee is front
    with pytest.raises(InputError, match="line 2, tee: is missing; give back or front"):
        read_drive({"hole": "2"}, plan, "round.csv", 2)
