"""Break-even points: where they lie, how surely, and that the plan agrees."""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import stats

from holesim.course.course import Course
from holesim.data.examples import COURSE, PLAYER, find
from holesim.plan.estimate import estimate
from holesim.plan.goal import CLOSE
from holesim.plan.plan import make_plan
from holesim.plan.posterior_draws import known_for_sure
from holesim.plan.round_options import RoundOptions
from holesim.player.player import POSTERIOR_DRAWS, Player
from holesim.shot.club_speeds import load_player
from holesim.study.break_even import (
    BreakEven,
    find_bands,
    find_break_even,
)
from holesim.study.scales import SCALES, ScaleName
from holesim.study.variants import (
    add_club_speed,
)
from holesim.units import MPH
from tests.conftest import Run
from tests.study.losses import scattered

Floats = NDArray[np.float64]

CALM = RoundOptions()
WINDY = RoundOptions(wind_mph=16, wind_from_deg=75)


@pytest.fixture(scope="module")
def by_speed(demo_course: Course, amateur: Player) -> BreakEven:
    return find_break_even(
        demo_course, known_for_sure(amateur), "club-speed", CALM.changed(draws=1024), hole=4
    )


def test_the_plan_agrees_on_either_side_of_a_band(
    by_speed: BreakEven, demo_course: Course, amateur: Player
) -> None:
    (band,) = by_speed.curves[0].bands
    assert (band.below, band.above) == ("up", "down")
    assert band.low is not None
    assert band.at is not None
    assert band.high is not None
    assert band.low < band.at < band.high
    for mph, best in ((band.low - 4, "up"), (band.high + 4, "down")):
        player = add_club_speed(known_for_sure(amateur), mph * MPH - amateur.driver("up").club_speed)
        tee = make_plan(demo_course, player, RoundOptions(draws=1024), holes=[4]).tees[0]
        costs = {s.strike: s.strokes for s in tee.strikes if s.club == "driver"}
        assert min(costs, key=lambda name: costs[name]) == best


def test_a_wind_behind_moves_the_break_even_up(by_speed: BreakEven) -> None:
    """Common practice, no source: down into the wind, up with it."""
    calm, _, helping = (curve.bands[0].at for curve in by_speed.curves)
    assert calm is not None
    assert helping is not None
    assert helping > calm + 2


def test_slow_swings_go_up_and_the_fastest_may_go_down(demo_course: Course, amateur: Player) -> None:
    """Common practice, no source: under some 100 mph hit up; from about 115 some give distance away."""
    front = replace(demo_course, holes=demo_course.holes[:9])
    found = find_break_even(front, known_for_sure(amateur), "club-speed", CALM.changed(draws=256))
    (curve,) = found.curves
    slow = [value for value, mph in enumerate(found.values) if mph < 100]
    assert len(slow) >= 2
    assert {found.strikes[curve.rank(value)[0]] for value in slow} == {"up"}
    band = curve.bands[-1]
    assert band.at is not None
    assert 100 < band.at < 125
    assert (band.below, band.above) == ("up", "down")
    assert found.holes == 7


# --- the plan's own -------------------------------------------------------------------------------


@pytest.mark.parametrize(("over", "options"), [("club-speed", CALM), ("face", CALM), ("wind", WINDY)])
def test_as_things_are_it_is_what_the_plan_has(
    over: ScaleName, options: RoundOptions, demo_course: Course, amateur: Player
) -> None:
    """To the last digit: the drives, the aims and the golfers are the same."""
    options = options.changed(draws=256, seed=3)
    found = find_break_even(demo_course, amateur, over, options, hole=4)
    tee = make_plan(demo_course, amateur, options, holes=[4]).tees[0]
    planned = {s.strike: s.loss for s in tee.strikes if s.club == "driver"}
    value = found.values.index(found.scale.now(found.case))
    for k, name in enumerate(found.strikes):
        assert np.array_equal(found.curves[0].loss[value, k], planned[name])


def test_as_things_are_it_is_the_day_s_strike_of_the_plan(demo_course: Course) -> None:
    """On some holes a shorter club is better for her than either way to hit the driver."""
    player = load_player(find("players/club_woman.toml"))
    course = replace(demo_course, holes=demo_course.holes[:9])
    found = find_break_even(course, player, "ball-flight", CALM.changed(draws=256))
    plan = make_plan(course, player, RoundOptions(draws=256))
    (day,) = plan.days.values()
    assert day.over is not None
    assert day.rival is not None
    value = found.values.index(found.scale.now(found.case))
    one, other = (found.strikes.index(name) for name in (day.strike, day.rival))
    assert found.curves[0].difference(value, one, other).mean == pytest.approx(day.over.mean, abs=1e-9)
    assert found.curves[0].difference(value, one, other).se == pytest.approx(day.over.se, abs=1e-9)
    assert any(tee.strikes[0].club != "driver" for tee in plan.tees if tee.hole.par > 3)


def test_a_wider_face_makes_no_strike_better_but_by_noise(demo_course: Course, amateur: Player) -> None:
    """Where each strike was aimed by itself a break-even came of one that found no good aim."""
    slow = add_club_speed(amateur, 96 * MPH - amateur.driver("up").club_speed)
    found = find_break_even(demo_course, slow, "face", WINDY.changed(draws=4096), hole=4)
    loss = found.curves[0].loss
    for k in range(len(found.strikes)):
        for value in range(len(found.values) - 1):
            more = estimate(loss[value + 1, k] - loss[value, k])
            assert more.mean > -3 * more.sampling
    first, last = found.values.index(3.5), found.values.index(4.0)
    assert (loss[last].mean(axis=(1, 2)) > loss[first].mean(axis=(1, 2)) - CLOSE).all()


# --- bands ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("between", [0.0, 0.1])
def test_bands_of_known_lines_lie_where_they_should(between: float) -> None:
    values = np.linspace(0, 10, 6)
    # Three strikes: the second beats the first from 4 on, the third both from 7 on.
    means = np.stack([0 * values, 4 - values, 18 - 3 * values]).T
    first, second = find_bands(values, ("a", "b", "c"), scattered(means, between))
    se = between * np.sqrt(1 + 1 / POSTERIOR_DRAWS)
    half = max(CLOSE, float(stats.t.ppf(0.9, POSTERIOR_DRAWS - 1)) * se)
    assert first.at == pytest.approx(4, abs=1e-6)
    assert (first.low, first.high) == pytest.approx((4 - half, 4 + half), abs=0.004)
    assert (first.below, first.above, first.strikes) == ("a", "b", ("a", "b"))
    assert second.at == pytest.approx(7, abs=1e-6)
    assert (second.low, second.high) == pytest.approx((7 - half / 2, 7 + half / 2), abs=0.004)
    assert (second.below, second.above, second.strikes) == ("b", "c", ("b", "c"))


@pytest.mark.parametrize(("gain", "breaks"), [(0.01, 1), (0.1, 3)])
def test_there_and_back_within_the_noise_is_one_band(gain: float, breaks: int) -> None:
    saved = np.array([-1, gain, -gain, 1, 1, 1])  # by the second strike
    bands = list(
        find_bands(np.linspace(0, 5, 6), ("a", "b"), scattered(-saved[:, None] * np.array([0, 1]), 0.02))
    )
    assert len(bands) == breaks
    assert (bands[0].below, bands[-1].above) == ("a", "b")
    assert all(band.at is not None for band in bands)


@pytest.mark.parametrize(
    "over", ["face", "spin-exponent", "wind", "fairway-width", "firmness", "ball-flight"]
)
def test_every_scale_tells_what_is_now(over: ScaleName, run: Run) -> None:
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
        find_break_even(demo_course, way, "ball-flight", CALM.changed(draws=256), hole=4).to_dict()
        for way in ways
    ]
    assert found[0] == found[1]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--hole", "3", "--over", "face"], "hole 3 is a par 3"),
        (["--over", "wind"], "--over: wind differs from hole to hole; name a hole, too"),
        (["--hole", "19", "--over", "face"], "has no hole 19"),
    ],
)
def test_what_cannot_be_asked_is_one_line(words: list[str], said: str, run: Run) -> None:
    code, out, heard = run("tipping", str(find(COURSE)), str(find(PLAYER)), *words)
    assert (code, out) == (2, "")
    assert said in heard
    assert heard.count("\n") == 1


def test_one_strike_has_no_break_even(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "player.toml"
    path.write_text(
        'name = "A"\nhand = "right"\nsex = "man"\nhandicap_index = 3\nclub_speed_mph = 106\n[strikes.up]\n'
    )
    code, _, heard = run("tipping", str(find(COURSE)), str(path), "--hole", "4", "--over", "face")
    assert code == 2
    assert "has one driver strike only, up" in heard
