"""Plan files: they keep to their schema, are read back whole, and each fault is named."""

import json
from collections.abc import Callable
from importlib.resources import files
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import shapely
from shapely.geometry import LineString, MultiPolygon, Point, Polygon

from holesim.course.course import Course, Ground
from holesim.errors import InputError
from holesim.handouts.plan_folder import plans_json
from holesim.handouts.plan_words import reason_text
from holesim.plan import explain
from holesim.plan.plan import Plan, make_plan
from holesim.plan.plan_file import gather_plans, load_plan, load_plans
from holesim.plan.plan_tables import schema
from holesim.plan.round_options import RoundOptions
from holesim.player.player import Player
from holesim.units import YARD

SCHEMA = json.loads((files("holesim") / "data/plan.schema.json").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def plan(demo_course: Course, amateur: Player) -> Plan:
    return make_plan(demo_course, amateur, RoundOptions(draws=256), holes=[6, 12])


@pytest.fixture
def path(plan: Plan, tmp_path: Path) -> Path:
    written = tmp_path / "plan.json"
    written.write_text(plan.to_json(), encoding="utf-8")
    return written


def test_the_schema_in_the_package_is_that_of_what_is_read() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    assert schema() == SCHEMA


def test_plans_keep_to_the_schema(plan: Plan) -> None:
    validator = jsonschema.Draft202012Validator(SCHEMA)
    assert validator.is_valid(json.loads(plan.to_json()))
    assert validator.is_valid(json.loads(plans_json([plan, plan])))
    content = json.loads(plan.to_json())
    content["tees"][0]["strikes"][0]["carry_yd"] = "far"
    assert not validator.is_valid(content)
    del content["tees"]
    assert not validator.is_valid(content)


def test_a_plan_is_read_back(plan: Plan, path: Path) -> None:
    read = load_plan(path)
    for tee, was in zip(read.tees, plan.tees, strict=True):
        assert tee.chosen().label == was.choice.label
        assert tee.chosen().sight.text(metric=True) == was.choice.mark.text(metric=True)
        assert tee.felt() == pytest.approx(list(was.flips))
        assert reason_text(tee, metric=True).lower() == explain.reason(was, metric=True).lower()
        rival = tee.choice_rival()
        assert (rival is None) == (was.rival is None)
        if was.rival is not None and rival is not None and rival.over_choice is not None:
            assert rival.label == was.rival.label
            over, said = was.rival.over(was.choice), rival.over_choice
            assert (said.loss, said.low, said.high) == pytest.approx((over.mean, *over.interval))
        assert (tee.choice.chance, tee.choice.close) == pytest.approx((was.chance, was.close))
        assert (tee.doubt or "", tee.verdict) == (explain.doubt_text(was.doubt), explain.verdict(was))
    worth, was_worth = read.measuring["back"], plan.measuring["back"]
    assert worth.given_away == pytest.approx(was_worth.given_away)
    assert {s.drives: s.strokes for s in worth.saved} == pytest.approx(was_worth.saved)


def polygons(rings: list[list[list[list[float]]]]) -> MultiPolygon:
    return MultiPolygon([Polygon(first, rest) for first, *rest in rings])


def test_a_hole_is_drawn_as_the_course_has_it(plan: Plan, path: Path, demo_course: Course) -> None:
    read = load_plan(path)
    for hole, tee in zip(read.holes, plan.tees, strict=True):
        green = polygons(hole.ground["green"])
        assert green.symmetric_difference(tee.hole.green).intersection(tee.hole.green.buffer(9)).area < 8
        assert green.contains(Point(hole.pin))
        window = Polygon(hole.window[0])
        assert window.contains(tee.hole.line)
        wet = shapely.union_all([a.outline for a in demo_course.areas if a.ground is Ground.RED])
        wet = wet.intersection(window)
        drawn = polygons(hole.ground["red"]) if "red" in hole.ground else MultiPolygon()
        assert drawn.symmetric_difference(wet).area < 0.02 * wet.area + 5


def test_outlines_hold_their_share_of_the_drives(path: Path) -> None:
    read = load_plan(path)
    for strike in (strike for tee in read.tees for strike in tee.strikes):
        for outline in strike.outlines:
            shape = polygons(outline.polygons).buffer(0.5)
            held = [shape.contains(Point(finish)) for finish in strike.finishes]
            assert sum(held) / len(held) == pytest.approx(outline.share, abs=0.12)


def level_with(line: list[list[float]], tee: list[float], distance: float) -> LineString:
    """Return the line square to the way from a tee to the middle of the hole, so far from the tee [m]."""
    (ax, ay), (bx, by) = line[-2:]
    longer = LineString([*line, (2 * bx - ax, 2 * by - ay)])
    place = Point(longer.intersection(Point(tee).buffer(distance, quad_segs=90).boundary).coords[0])
    across, ahead = -(place.y - tee[1]), place.x - tee[0]
    return LineString([(place.x - across, place.y - ahead), (place.x + across, place.y + ahead)])


def test_what_is_in_the_way_lies_there(path: Path) -> None:
    """The island green's pond is to be carried, and every distance is level with ground of its kind."""
    read = load_plan(path)
    for tee in read.tees:
        ground = {str(name): rings for name, rings in read.hole(tee.hole).ground.items()}
        kinds = {"bunker": "bunker", "red penalty area": "red", "yellow penalty area": "yellow"}
        for reach in (reach for strike in tee.strikes for reach in strike.in_the_way):
            assert reach.near_yd <= reach.far_yd
            if reach.what in kinds:
                shape = polygons(ground[kinds[reach.what]])
                for distance in (reach.near_yd, reach.far_yd):
                    level = level_with(read.hole(tee.hole).line, tee.middle, distance * YARD)
                    assert shape.distance(level) < 1.0
    twelfth = next(tee for tee in read.tees if tee.hole == 12)
    assert [r.way for r in twelfth.chosen().in_the_way if r.what == "yellow penalty area"] == ["clear"]


@pytest.mark.parametrize(
    ("spoil", "message"),
    [
        (lambda c: c | {"schema": 1}, "is 1, not 5: another version of holesim wrote it; plan it anew"),
        (lambda _: [], "schema: is not that of a plan file"),
        (lambda c: c | {"tees": []}, "tees"),
        (lambda c: c | {"colour": 3}, "colour: is not a key of a plan file"),
        (
            lambda c: c | {"over_plan": {"back": {"always up": {"stroke": 0.1}}}},
            "over_plan.back.always up.stroke: is not a key of a plan file; did you mean strokes?",
        ),
        (lambda c: c | {"holes": c["holes"][:1]}, "hole 12: is not among the holes; plan it anew"),
        (lambda c: [c, c], "holds plans for several winds"),
    ],
)
def test_faults_of_a_plan_file(path: Path, spoil: Callable[[Any], Any], message: str) -> None:
    path.write_text(json.dumps(spoil(json.loads(path.read_text(encoding="utf-8")))), encoding="utf-8")
    with pytest.raises(InputError) as caught:
        load_plan(path)
    assert message in str(caught.value)
    assert "\n" not in str(caught.value)


def test_plans_for_several_winds_are_read(path: Path) -> None:
    one = json.loads(path.read_text(encoding="utf-8"))
    path.write_text(json.dumps([one, one]), encoding="utf-8")
    assert len(load_plans(path)[0]) == 2


def test_plan_files_of_one_round_are_gathered(path: Path, tmp_path: Path) -> None:
    one = json.loads(path.read_text(encoding="utf-8"))
    windy, other, fewer = (tmp_path / f"{name}.json" for name in ("windy", "other", "fewer"))
    windy.write_text(json.dumps(one | {"options": one["options"] | {"wind_mph": 12.0}}), encoding="utf-8")
    assert [plan.options.wind_mph for plan in gather_plans([path, windy])] == [0.0, 12.0]
    other.write_text(json.dumps(one | {"inputs": {"else.geojson": "0"}}), encoding="utf-8")
    with pytest.raises(InputError, match=r"other\.json: is of .* planned from other files than the first"):
        gather_plans([path, windy, other])
    fewer.write_text(json.dumps(one | {"tees": one["tees"][:1]}), encoding="utf-8")
    with pytest.raises(InputError, match=r"fewer\.json: is of other holes or tees"):
        gather_plans([path, fewer])
