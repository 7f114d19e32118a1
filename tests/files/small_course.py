"""A small course with a bit of everything that is read, and a player, as text to be damaged."""

import json
from pathlib import Path

from tests.conftest import DEMO
from tests.files.drawn_courses import Json, add, area, at, feature, moved_by, ring, sound


def _draw_small_course() -> Json:
    """Return two holes with a bit of everything that is read."""
    course = sound()
    add(
        *moved_by(sound(), 300, 0, ref="2", par="5", handicap="9"),
        feature("t9", "Point", at(3, 20), golf="tee", colour="white;yellow", ele="31"),
        feature("e1", "Point", at(0, 200), ele="28.5"),
        feature("p1", "Point", at(120, 380), golf="pin"),
        feature("s1", "LineString", [at(60, 0), at(60, 90)], waterway="stream", width="2"),
        feature("m1", "MultiPolygon", [[ring(40, 0, 50, 10), ring(42, 2, 44, 4)]], natural="water"),
        feature("r1", "MultiLineString", [[at(70, 0), at(70, 90)]], natural="tree_row", height="40 ft"),
        feature("n1", "LineString", ring(80, 0, 90, 10), golf="bunker", name="L\u00f8vens grav"),
        area("c1", ring(-90, -90, 550, 470), leisure="golf_course", name="Petrel Ground", firmness="firm"),
    )(course)
    return course


COURSE = json.dumps(_draw_small_course(), ensure_ascii=False)
PLAYER = Path(DEMO[1]).read_text(encoding="utf-8").replace("Corin", "C\u00f8rin")


def small_course() -> Json:
    """Return the content of the course file, each time anew."""
    course: Json = json.loads(COURSE)
    return course
