"""The demo course: its card, its lines, and the script that draws it."""

import importlib.util
import json
import sys
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import shapely
from shapely.geometry import LineString, Polygon, shape

from holesim.course.course import Course
from holesim.data.examples import COURSE, find
from holesim.units import YARD
from tests.files.drawn_courses import (
    length_of,
)


def test_the_demo_course_is_what_its_script_draws() -> None:
    spec = importlib.util.spec_from_file_location("draw_demo", find(COURSE).parent / "draw_demo.py")
    assert spec is not None
    assert spec.loader is not None
    script = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = script  # where its dataclasses look for their own module
    spec.loader.exec_module(script)

    def features(text: str) -> list[dict[str, Any]]:
        found: list[dict[str, Any]] = json.loads(text)["features"]
        return found

    drawn = features(script.course())
    kept = features(find(COURSE).read_text(encoding="utf-8"))
    assert [(f["id"], f["properties"]) for f in drawn] == [(f["id"], f["properties"]) for f in kept]
    # The last digits of a sine differ between processors, and with them where an outline is simplified.
    for ours, theirs in zip(drawn, kept, strict=True):
        one, other = shape(ours["geometry"]), shape(theirs["geometry"])
        if one.area:
            assert shapely.symmetric_difference(one, other).area < 0.02 * other.area, ours["id"]
        else:
            assert one.hausdorff_distance(other) < 1e-6, ours["id"]


def test_the_demo_lines_are_as_long_as_on_the_ellipsoid(demo_course: Course) -> None:
    path = Path(__file__).parents[2] / "courses" / "demo.geojson"
    features = json.loads(path.read_text(encoding="utf-8"))["features"]
    lines = {
        int(f["properties"]["ref"]): f["geometry"]["coordinates"]
        for f in features
        if f["properties"].get("golf") == "hole"
    }
    for hole in demo_course.holes:
        length = length_of(lines[hole.number])
        assert hole.line.length == pytest.approx(length, abs=0.01)
        assert hole.tees[0].length == pytest.approx(length, abs=YARD)


def test_the_demo_card(demo_course: Course) -> None:
    holes = demo_course.holes
    assert [hole.number for hole in holes] == list(range(1, 19))
    assert 70 <= sum(hole.par for hole in holes) <= 72
    assert sum(hole.par == 3 for hole in holes) == 4
    assert sorted(hole.stroke_index or 0 for hole in holes) == list(range(1, 19))
    assert 6800 <= sum(hole.tees[0].length for hole in holes) / YARD <= 7000
    for hole in holes:
        assert [tee.name for tee in hole.tees] == ["back", "middle", "forward"]
        assert all(a.length - b.length > 5 * YARD for a, b in pairwise(hole.tees))
        assert hole.green.covers(shapely.Point(hole.pin))


def outline(course: Course, label: str) -> Polygon:
    (found,) = [a.outline for a in course.areas if a.label == label]
    return found


def across(line: LineString, along_yd: float) -> LineString:
    """Return a line 140 yd long square to a hole's, from its left to its right."""
    a, b = (np.array(line.interpolate(d * YARD).coords[0]) for d in (along_yd - 0.5, along_yd + 0.5))
    right = np.array([(b - a)[1], -(b - a)[0]]) / np.hypot(*(b - a))
    return LineString([(a + b) / 2 - 70 * YARD * right, (a + b) / 2 + 70 * YARD * right])


@pytest.mark.parametrize(
    ("number", "trouble", "side"),
    [(4, "golf=out_of_bounds hole 4 out of bounds", 1), (14, "golf=lateral_water_hazard hole 14 pond", -1)],
)
def test_trouble_hard_by_the_demo_fairways(demo_course: Course, number: int, trouble: str, side: int) -> None:
    line = demo_course.holes[number - 1].line
    fairway, hazard = (
        outline(demo_course, f"golf=fairway hole {number} fairway"),
        outline(demo_course, trouble),
    )
    for along in range(220, 301, 10):
        section = across(line, along)
        grass, beyond = section.intersection(fairway), section.intersection(hazard)
        assert grass.distance(beyond) <= 20 * YARD
        assert side * (section.project(beyond.centroid) - section.project(grass.centroid)) > 0


@pytest.mark.parametrize("number", [2, 13])
def test_the_generous_demo_fairways(demo_course: Course, number: int) -> None:
    line = demo_course.holes[number - 1].line
    fairway = outline(demo_course, f"golf=fairway hole {number} fairway")
    for along in range(220, 301, 10):
        assert across(line, along).intersection(fairway).length >= 45 * YARD
