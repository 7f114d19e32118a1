"""Tipping points: where they lie, how surely, and that the plan on either side agrees."""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from matplotlib.axes import Axes

from holesim.air import make_air
from holesim.changed import centred, fairway_width, faster, steeper, who_owns, with_face, with_fairway
from holesim.course import Course, Ground, load_course
from holesim.demo import COURSE, PLAYER, find
from holesim.ground import map_ground
from holesim.plan import make_plan
from holesim.player import Player
from holesim.tipping import SCALES, Tipping, _crossings, tipping
from holesim.tipping_picture import draw_tipping
from holesim.tipping_report import tipping_text
from holesim.units import DEGREE, MPH, YARD
from holesim.workbench import Conditions

from .conftest import Run, straight_course

CALM = Conditions(air=make_air())


@pytest.fixture(scope="module")
def by_speed(demo_course: Course, amateur: Player) -> Tipping:
    return tipping(demo_course, amateur, "club-speed", hole=4, conditions=CALM, draws=512)


def test_the_plan_agrees_on_either_side_of_a_crossing(
    by_speed: Tipping, demo_course: Course, amateur: Player
) -> None:
    crossing = by_speed.curves[0].crossings[0]
    assert (crossing.below, crossing.above) == ("up", "down")
    assert crossing.low is not None
    assert crossing.high is not None
    assert crossing.low < crossing.at < crossing.high
    for mph, best in ((crossing.low - 4, "up"), (crossing.high + 4, "down")):
        player = faster(amateur, mph * MPH - amateur.driver("up").club_speed)
        tee = make_plan(demo_course, player, holes=[4], draws=1024).tees[0]
        costs = {s.strike: s.strokes for s in tee.strikes if s.club == "driver"}
        assert min(costs, key=lambda name: costs[name]) == best


def test_a_wind_behind_moves_the_crossing_up(by_speed: Tipping) -> None:
    """Common practice, no source: down into the wind, up with it."""
    calm, _, helping = (curve.crossings[-1].at for curve in by_speed.curves)
    assert helping > calm + 2


def test_slow_swings_go_up_and_the_fastest_may_go_down(demo_course: Course, amateur: Player) -> None:
    """Common practice, no source: under some 100 mph hit up; from about 115 some give distance away."""
    found = tipping(demo_course, amateur, "club-speed", conditions=CALM, draws=256)
    (curve,) = found.curves
    assert [found.strikes[i] for i in curve.best[:4]] == ["up"] * 4
    (crossing,) = curve.crossings
    assert 100 < crossing.at < 125
    assert (crossing.below, crossing.above) == ("up", "down")
    assert found.holes == 14


def test_crossings_of_known_lines_lie_where_they_should() -> None:
    values, rng = np.linspace(0, 10, 6), np.random.default_rng(1)
    noise = 0.1 * rng.standard_normal(16)
    noise -= noise.mean()
    # Three strikes: the second beats the first from 4 on, the third both from 7 on.
    means = np.stack([0 * values, 4 - values, 18 - 3 * values])
    loss = means.T[:, :, None] + np.array([0, 1, 2])[:, None] * noise
    nobody = np.empty((6, 3, 0))
    first, second = _crossings(values, ("a", "b", "c"), loss, nobody)
    assert (first.below, first.above) == ("a", "b")
    assert (second.below, second.above) == ("b", "c")
    assert first.at == pytest.approx(4)
    assert second.at == pytest.approx(7)
    # Fieller: for a line known but for its height, the interval of the height over the slope.
    half = 2.131 * noise.std(ddof=1) / 4
    assert first.low == pytest.approx(4 - half, abs=0.005)
    assert first.high == pytest.approx(4 + half, abs=0.005)
    likely = np.zeros((6, 3, 16))
    likely[:, 1] = np.random.default_rng(2).normal(0, 30, 16)
    assert next(_crossings(values, ("a", "b", "c"), loss, likely)).low is None


@pytest.mark.parametrize(("gain", "crossings"), [(0.01, 1), (0.1, 3)])
def test_there_and_back_within_the_noise_is_no_crossing(gain: float, crossings: int) -> None:
    values, noise = np.linspace(0, 5, 6), 0.1 * np.random.default_rng(1).standard_normal(16)
    saved = np.array([-1, gain, -gain, 1, 1, 1])  # by the second strike
    loss = -saved[:, None, None] * np.array([0, 1])[:, None] + np.array([0, 1])[:, None] * (
        noise - noise.mean()
    )
    found = list(_crossings(values, ("a", "b"), loss, np.empty((6, 2, 0))))
    assert len(found) == crossings
    assert (found[-1].below, found[-1].above) == ("a", "b")


@pytest.mark.parametrize("over", ["face", "spin-exponent", "wind", "fairway-width", "firmness", "lift-law"])
def test_every_scale_tells_what_is_now(over: str, amateur: Player, run: Run) -> None:
    path = find("template.geojson")  # of one hole
    words = ["tipping", str(path), str(find(PLAYER)), "--over", over, "--hole", "1", "--draws", "256"]
    code, said, _ = run(*words, "--json")
    assert code == 0
    content = json.loads(said)
    scale = SCALES[over]  # type: ignore[index]
    assert len(content["values"]) == len(scale.values)
    now = {"face": 1.6, "spin-exponent": 0.0, "wind": 0.0, "firmness": "medium"}
    if over in now:
        assert content["now"] == (pytest.approx(now[over]) if over != "firmness" else "medium")
    assert len(content["curves"]) == (1 if over == "wind" else 3)
    # Where nothing is changed, the plan's own strokes come back.
    if content["now"] in content["values"]:
        tee = make_plan(load_course(path), amateur, holes=[1], draws=256).tees[0]
        strokes = {s.strike: s.strokes for s in tee.strikes if s.club == "driver"}
        row = content["curves"][0]["strokes"][content["values"].index(content["now"])]
        assert dict(zip(content["strikes"], row, strict=True)) == pytest.approx(strokes, abs=1e-9)


def test_the_report_says_where_and_how_surely(by_speed: Tipping) -> None:
    said = tipping_text(by_speed)
    crossing = by_speed.curves[0].crossings[0]
    assert f"below {crossing.at:.0f} mph ({crossing.low:.0f} to {crossing.high:.0f} mph) hit up" in said
    assert "m/s" in tipping_text(by_speed, metric=True)
    assert max(map(len, said.splitlines())) <= 110


def test_the_picture_shows_each_other_strike_and_each_crossing(by_speed: Tipping) -> None:
    curve = by_speed.curves[0]
    ax = draw_tipping(by_speed, curve)
    assert isinstance(ax, Axes)
    diamonds = [line for line in ax.lines if line.get_marker() == "D"]
    assert [float(np.ravel(line.get_xdata())[0]) for line in diamonds] == [c.at for c in curve.crossings]
    assert ax.get_legend_handles_labels()[1] == ["down"]
    assert "mph" in ax.get_xlabel()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--hole", "3", "--over", "face"], "hole 3 is a par 3"),
        (["--over", "wind"], "add --hole N"),
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
