"""Tipping points: where they lie, how surely, and that the plan agrees."""

import json
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from matplotlib.axes import Axes
from numpy.typing import NDArray
from scipy import stats

from holesim.course.course import Course, Ground
from holesim.course.ground_map import map_ground
from holesim.data.examples import COURSE, PLAYER, find
from holesim.pictures.tipping_picture import draw_tipping
from holesim.plan.estimate import estimate
from holesim.plan.evaluator import REPLICATES
from holesim.plan.goal import CLOSE
from holesim.plan.plan import make_plan
from holesim.plan.posterior_draws import known_for_sure, posterior_draws
from holesim.plan.round_options import RoundOptions
from holesim.player.player import POSTERIOR_DRAWS, Player
from holesim.reports.tipping_text import flips_in_words, tipping_text
from holesim.shot.club_speeds import load_player
from holesim.study.tipping import SCALES, Band, BreakEvenCurve, Case, Over, Tipping, bands_of, tipping
from holesim.study.variants import centred, fairway_width, faster, steeper, who_owns, with_face, with_fairway
from holesim.units import DEGREE, MPH, YARD
from tests.conftest import Run, straight_course

Floats = NDArray[np.float64]

CALM = RoundOptions()
WINDY = RoundOptions(wind_mph=16, wind_from_deg=75)


@pytest.fixture(scope="module")
def by_speed(demo_course: Course, amateur: Player) -> Tipping:
    return tipping(demo_course, known_for_sure(amateur), "club-speed", CALM.changed(draws=1024), hole=4)


def test_the_plan_agrees_on_either_side_of_a_band(
    by_speed: Tipping, demo_course: Course, amateur: Player
) -> None:
    (band,) = by_speed.curves[0].bands
    assert (band.below, band.above) == ("up", "down")
    assert band.low is not None
    assert band.at is not None
    assert band.high is not None
    assert band.low < band.at < band.high
    for mph, best in ((band.low - 4, "up"), (band.high + 4, "down")):
        player = faster(known_for_sure(amateur), mph * MPH - amateur.driver("up").club_speed)
        tee = make_plan(demo_course, player, RoundOptions(draws=1024), holes=[4]).tees[0]
        costs = {s.strike: s.strokes for s in tee.strikes if s.club == "driver"}
        assert min(costs, key=lambda name: costs[name]) == best


def test_a_wind_behind_moves_the_break_even_up(by_speed: Tipping) -> None:
    """Common practice, no source: down into the wind, up with it."""
    calm, _, helping = (curve.bands[0].at for curve in by_speed.curves)
    assert calm is not None
    assert helping is not None
    assert helping > calm + 2


def test_slow_swings_go_up_and_the_fastest_may_go_down(demo_course: Course, amateur: Player) -> None:
    """Common practice, no source: under some 100 mph hit up; from about 115 some give distance away."""
    found = tipping(demo_course, known_for_sure(amateur), "club-speed", CALM.changed(draws=256))
    (curve,) = found.curves
    assert [found.strikes[curve.ranked(value)[0]] for value in range(4)] == ["up"] * 4
    band = curve.bands[-1]
    assert band.at is not None
    assert 100 < band.at < 125
    assert (band.below, band.above) == ("up", "down")
    assert found.holes == 14


# --- the plan's own -------------------------------------------------------------------------------


@pytest.mark.parametrize("over", ["club-speed", "face", "wind"])
def test_as_things_are_it_is_what_the_plan_has(over: Over, demo_course: Course, amateur: Player) -> None:
    """To the last digit: the drives, the aims and the golfers are the same."""
    found = tipping(demo_course, amateur, over, WINDY.changed(draws=256, seed=3), hole=4)
    tee = make_plan(demo_course, amateur, WINDY.changed(draws=256, seed=3), holes=[4]).tees[0]
    planned = {s.strike: s.loss for s in tee.strikes if s.club == "driver"}
    value = found.values.index(found.scale.now(found.case))
    for k, name in enumerate(found.strikes):
        assert np.array_equal(found.curves[0].loss[value, k], planned[name])


def test_as_things_are_it_is_the_day_s_strike_of_the_plan(demo_course: Course) -> None:
    """On some holes a shorter club is better for her than either way to hit the driver."""
    player = load_player(find("players/club_woman.toml"))
    found = tipping(demo_course, player, "ball-flight", CALM.changed(draws=256))
    plan = make_plan(demo_course, player, RoundOptions(draws=256))
    (day,) = plan.days.values()
    assert day.over is not None
    assert day.rival is not None
    value = found.values.index(found.scale.now(found.case))
    one, other = (found.strikes.index(name) for name in (day.strike, day.rival))
    assert found.curves[0].over(value, one, other).mean == pytest.approx(day.over.mean, abs=1e-9)
    assert found.curves[0].over(value, one, other).se == pytest.approx(day.over.se, abs=1e-9)
    assert any(tee.strikes[0].club != "driver" for tee in plan.tees if tee.hole.par > 3)


def test_a_cross_wind_stays_as_the_wind_along_the_hole_changes(demo_course: Course, amateur: Player) -> None:
    hole = demo_course.holes[3]
    across = RoundOptions(wind_mph=16, wind_from_deg=165).conditions  # from the right of this hole
    case = Case(course=demo_course, player=amateur, conditions=across, hole=(hole, hole.tees[0]))
    scale = SCALES["wind"]
    same, none = (scale.change(case, mph).conditions.air for mph in (scale.now(case), 0.0))
    assert same.wind_speed == pytest.approx(16 * MPH)
    assert np.cos(same.wind_from - across.air.wind_from) == pytest.approx(1)
    assert 15 * MPH < none.wind_speed < 16.01 * MPH


def test_the_golfers_are_alike_all_along_a_scale(amateur: Player) -> None:
    """So a curve is smooth: what is not known of speed and face is as large, in shares, at every value."""

    def off(player: Player) -> tuple[Floats, Floats]:
        drawn = [golfer.driver("up") for golfer in posterior_draws(player, 1).golfers]
        speeds, faces = np.array([(s.club_speed, s.spread.face) for s in drawn]).T
        return speeds / player.driver("up").club_speed, faces / player.driver("up").spread.face

    unknown = load_player(find("players/club_golfer.toml"))
    for player in (amateur, unknown):
        speeds, faces = off(player)
        assert faces.std() > 0.01
        quick, wide = off(faster(player, 8 * MPH)), off(with_face(player, 1.7))
        assert quick[0] == pytest.approx(speeds)
        assert wide[1] == pytest.approx(faces)
        assert quick[1] == pytest.approx(faces)


def test_a_wider_face_makes_no_strike_better_but_by_noise(demo_course: Course, amateur: Player) -> None:
    """Where each strike was aimed by itself a break-even came of one that found no good aim."""
    slow = faster(amateur, 96 * MPH - amateur.driver("up").club_speed)
    found = tipping(demo_course, slow, "face", WINDY.changed(draws=4096), hole=4)
    loss = found.curves[0].loss
    for k in range(len(found.strikes)):
        for value in range(len(found.values) - 1):
            more = estimate(loss[value + 1, k] - loss[value, k])
            assert more.mean > -3 * more.sampling
    first, last = found.values.index(3.5), found.values.index(4.0)
    assert (loss[last].mean(axis=(1, 2)) > loss[first].mean(axis=(1, 2)) - CLOSE).all()


# --- bands ----------------------------------------------------------------------------------------


def scattered(means: Floats, between: float) -> Floats:
    """Return losses of those means; the golfers of the k-th strike are off by k times `between`."""
    off = np.random.default_rng(1).standard_normal(POSTERIOR_DRAWS)
    off = between * (off - off.mean()) / off.std(ddof=1)
    shift = np.arange(means.shape[1])[None, :, None, None] * off[None, None, :, None]
    return np.asarray(
        means[:, :, None, None] + np.broadcast_to(shift, (*means.shape, POSTERIOR_DRAWS, REPLICATES))
    )


@pytest.mark.parametrize("between", [0.0, 0.1])
def test_bands_of_known_lines_lie_where_they_should(between: float) -> None:
    values = np.linspace(0, 10, 6)
    # Three strikes: the second beats the first from 4 on, the third both from 7 on.
    means = np.stack([0 * values, 4 - values, 18 - 3 * values]).T
    first, second = bands_of(values, ("a", "b", "c"), scattered(means, between))
    se = between * np.sqrt(1 + 1 / POSTERIOR_DRAWS)
    half = max(CLOSE, float(stats.t.ppf(0.9, POSTERIOR_DRAWS - 1)) * se)
    assert first.at == pytest.approx(4, abs=1e-6)
    assert (first.low, first.high) == pytest.approx((4 - half, 4 + half), abs=0.004)
    assert (first.below, first.above, first.strikes) == ("a", "b", ("a", "b"))
    assert second.at == pytest.approx(7, abs=1e-6)
    assert (second.low, second.high) == pytest.approx((7 - half / 2, 7 + half / 2), abs=0.004)
    assert (second.below, second.above, second.strikes) == ("b", "c", ("b", "c"))


def told(means: Floats, between: float, names: Sequence[str] = ("up", "down")) -> tuple[list[Band], Floats]:
    values = np.array(SCALES["club-speed"].values)
    loss = scattered(means, between)
    return list(bands_of(values, names, loss)), loss


def in_words(means: Floats, between: float, like: Tipping) -> str:
    bands, loss = told(means, between)
    curve = BreakEvenCurve(wind="calm", loss=loss, beyond=np.zeros(loss.shape[:2], bool), bands=tuple(bands))
    return flips_in_words(replace(like, values=SCALES["club-speed"].values), curve)


ALIKE = "up and down cost the same to within 0.02 strokes, or nobody can tell which is less"


@pytest.mark.parametrize(
    ("slope", "between", "words"),
    [
        (0.0009, 0.0, "break-even up to 122 mph (100 mph): above it down"),
        (
            0.0005,
            0.0,
            f"{ALIKE}, from 80 to 125 mph",
        ),
        (0.0025, 0.0, "break-even from 92 to 108 mph (100 mph): below it up, above it down"),
        (
            0.02,
            1.0,
            f"{ALIKE}, from 80 to 125 mph",
        ),
        (0.02, 0.1, "break-even from 93 to 107 mph (100 mph): below it up, above it down"),
    ],
)
def test_a_break_even_is_told_no_closer_than_it_is_known(
    slope: float, between: float, words: str, by_speed: Tipping
) -> None:
    """Where strikes differ by less than 0.02 strokes for ten miles either side, no mile is the one."""
    values = np.array(SCALES["club-speed"].values)
    assert in_words(np.stack([0 * values, slope * (100 - values)]).T, between, by_speed) == words


def test_a_stretch_of_the_same_cost_is_told_without_a_break_even(by_speed: Tipping) -> None:
    values = np.array(SCALES["club-speed"].values)
    saved = -np.where(np.abs(values - 100) < 6, 0.01, 0.3)  # by the second strike
    words = in_words(np.stack([0 * values, saved]).T, 0.0, by_speed)
    assert words.startswith("up and down cost the same to within 0.02 strokes")
    assert words.endswith("down on either side")
    assert "break-even" not in words
    assert in_words(np.stack([0 * values, 0 * values - 0.3]).T, 0.0, by_speed) == (
        "no break-even: down from 80 to 125 mph"
    )


@pytest.mark.parametrize(("gain", "breaks"), [(0.01, 1), (0.1, 3)])
def test_there_and_back_within_the_noise_is_one_band(gain: float, breaks: int) -> None:
    saved = np.array([-1, gain, -gain, 1, 1, 1])  # by the second strike
    bands = list(
        bands_of(np.linspace(0, 5, 6), ("a", "b"), scattered(-saved[:, None] * np.array([0, 1]), 0.02))
    )
    assert len(bands) == breaks
    assert (bands[0].below, bands[-1].above) == ("a", "b")
    assert all(band.at is not None for band in bands)


@pytest.mark.parametrize(
    "over", ["face", "spin-exponent", "wind", "fairway-width", "firmness", "ball-flight"]
)
def test_every_scale_tells_what_is_now(over: Over, run: Run) -> None:
    path = find("template.geojson")  # of one hole
    words = ["tipping", str(path), str(find(PLAYER)), "--over", over, "--hole", "1", "--draws", "256"]
    code, said, _ = run(*words, "--json")
    assert code == 0
    content = json.loads(said)
    scale = SCALES[over]
    assert len(content["values"]) in (len(scale.values), len(scale.values) + 1)
    now = {"face": 1.6, "spin-exponent": 0.0, "wind": 0.0, "firmness": "medium", "ball-flight": "modern"}
    if over in now:
        assert content["now"] == (pytest.approx(now[over]) if not scale.names else now[over])
        assert content["now"] in content["values"]
    assert len(content["curves"]) == (1 if over == "wind" else 3)
    for curve in content["curves"]:
        assert np.shape(curve["strokes"]) == (len(content["values"]), len(content["strikes"]))
    if over == "ball-flight":
        assert content["values"] == ["modern", "older"]
        assert content["curves"][0]["strokes"][0] != content["curves"][0]["strokes"][1]


def test_nothing_depends_on_a_usual_strike(demo_course: Course, amateur: Player) -> None:
    ways = [replace(amateur, usual=usual) for usual in (None, "down")]
    found = [
        tipping(demo_course, way, "ball-flight", CALM.changed(draws=256), hole=4).to_dict() for way in ways
    ]
    assert found[0] == found[1]


def test_the_report_says_where_and_how_surely(by_speed: Tipping) -> None:
    said = tipping_text(by_speed)
    (band,) = by_speed.curves[0].bands
    assert f"break-even from {band.low:.0f} to {band.high:.0f} mph ({band.at:.0f} mph): below it up" in said
    assert "m/s" in tipping_text(by_speed, metric=True)
    assert max(map(len, said.splitlines())) <= 110
    for value, mph in enumerate(by_speed.values):
        row = next(line for line in said.splitlines() if line.strip().startswith(f"{mph:.0f} mph"))
        assert band.low is not None
        assert band.high is not None
        assert ("~" in row[:40]) == (band.low <= mph <= band.high), value


def test_the_picture_shows_each_other_strike_and_each_band(by_speed: Tipping) -> None:
    curve = by_speed.curves[0]
    ax = draw_tipping(by_speed, curve)
    assert isinstance(ax, Axes)
    diamonds = [line for line in ax.lines if line.get_marker() == "D"]
    assert [float(np.ravel(line.get_xdata())[0]) for line in diamonds] == [b.at for b in curve.bands]
    assert len(ax.patches) == len(curve.bands)
    assert ax.get_legend_handles_labels()[1] == ["down"]
    assert "mph" in ax.get_xlabel()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--hole", "3", "--over", "face"], "hole 3 is a par 3"),
        (["--over", "wind"], "--over: wind is asked of a hole; name a hole, too"),
        (["--hole", "19", "--over", "face"], "has no hole 19"),
    ],
)
def test_what_cannot_be_asked_is_one_line(words: list[str], said: str, run: Run) -> None:
    code, out, heard = run("tipping", str(find(COURSE)), str(find(PLAYER)), *words)
    assert (code, out) == (2, "")
    assert said in heard
    assert heard.count("\n") == 1


def test_one_strike_has_no_tipping_point(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "player.toml"
    path.write_text(
        'name = "A"\nhand = "right"\nsex = "man"\nhandicap_index = 3\nclub_speed_mph = 106\n[strikes.up]\n'
    )
    code, _, heard = run("tipping", str(find(COURSE)), str(path), "--hole", "4", "--over", "face")
    assert code == 2
    assert "has the driver up only" in heard


# --- one thing changed ----------------------------------------------------------------------------


def test_a_changed_golfer_is_changed_in_that_alone(amateur: Player) -> None:
    up = amateur.driver("up")
    quick = faster(amateur, 3 * MPH).driver("up")
    assert quick.club_speed == up.club_speed + 3 * MPH
    assert quick.spread.at_speed - quick.club_speed == pytest.approx(up.spread.at_speed - up.club_speed)
    assert quick.dynamic_loft - up.dynamic_loft == pytest.approx(-0.24 * DEGREE)
    assert with_face(amateur, 0.8).driver("up").spread == replace(up.spread, face=0.8 * up.spread.face)
    high = steeper(amateur, 2 * DEGREE).driver("up")
    assert high.attack == up.attack + 2 * DEGREE
    assert high.path == up.path
    assert high.swing_line > up.swing_line  # lined up farther right, for a right-hander
    middle = centred(replace(amateur, strikes=(replace(up, toe=0.005),)), 0.5).strikes[0]
    assert (middle.toe, middle.spread.toe) == (0, up.spread.toe / 2)
    clubs = [s for s in amateur.strikes if s.club != "driver"]
    assert [s for s in faster(amateur, 3 * MPH).strikes if s.club != "driver"] == clubs


def test_who_learns_a_strike_owns_it_besides(amateur: Player) -> None:
    alone = replace(amateur, strikes=(amateur.driver("up"),), usual="up")
    learnt = who_owns(alone, "down").driver("down")
    assert learnt.attack == pytest.approx(-2.5 * DEGREE)
    assert learnt.spread == amateur.driver("up").spread
    assert learnt.path == amateur.driver("up").path


@pytest.mark.parametrize("change", [-10, 12])
def test_a_fairway_is_as_much_wider_as_asked(change: float) -> None:
    course = straight_course(fairway=30, beyond=Ground.HEAVY_ROUGH)
    hole = course.holes[0]
    tee, reach = hole.tees[0], 230 * YARD
    assert fairway_width(hole, tee, map_ground(course), reach) / YARD == pytest.approx(30, abs=0.5)
    changed = with_fairway(course, hole, change * YARD)
    width = fairway_width(hole, tee, map_ground(changed), reach) / YARD
    assert width == pytest.approx(30 + change, abs=0.5)
