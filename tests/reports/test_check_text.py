"""What is reported of a course or a player: what was found, guessed and missing."""

import json
import re
from dataclasses import replace
from pathlib import Path

import pytest
from shapely import Point

from holesim.course.course import Area, Course, Ground, Spot
from holesim.course.course_file import load_course
from holesim.course.geojson import KINDS
from holesim.course.golf_tags import GOLF, NATURAL
from holesim.course.holes import CardEntry
from holesim.data.examples import COURSE, find
from holesim.player.player import Player
from holesim.reports.check_text import course_text, find_gaps, player_text
from tests.conftest import DEMO, Run


def test_the_demo_course_leaves_nothing_open(demo_course: Course) -> None:
    text = course_text(demo_course)
    assert demo_course.guesses == find_gaps(demo_course) == ()
    assert text.startswith("Vantle Skerry: 18 holes, par 71\n\nhole par  back middle forward  yd\n")
    assert "\n   1   4   385    358     308\n" in text
    assert "18 greens, 54 tees, 18 fairways" in " ".join(text.split())
    assert "guessed" not in text
    assert "missing" not in text
    assert max(map(len, text.splitlines())) <= 110


def test_lengths_may_be_in_metres(demo_course: Course) -> None:
    assert "\n   1   4   352    327     281\n" in course_text(demo_course, metric=True)


def test_what_is_missing_is_said(demo_course: Course) -> None:
    bare = replace(
        demo_course,
        areas=tuple(area for area in demo_course.areas if area.ground is not Ground.FAIRWAY),
        boundary=None,
    )
    missing = [str(gap) for gap in find_gaps(bare)]
    par_3s = [hole.number for hole in bare.holes if hole.par == 3]
    assert len(missing) == 18 - len(par_3s) + 1
    assert (
        missing[0] == "hole 1: has no fairway, so all is rough as far as the green; draw a golf=fairway area"
    )
    assert not [text for text in missing for number in par_3s if text.startswith(f"hole {number}:")]
    assert missing[-1].startswith("the course: has no boundary, so only areas drawn as out of bounds")
    assert "\nmissing:\n  hole 1: has no fairway" in course_text(bare)


def test_a_boundary_that_leaves_a_hole_no_room_is_said(demo_course: Course) -> None:
    hole = demo_course.holes[0]
    narrow, wide = (
        replace(demo_course, holes=(hole,), boundary=hole.line.buffer(half), spots=()) for half in (3, 12)
    )
    (gap,), roomy = find_gaps(narrow), find_gaps(wide)
    assert (gap.place, gap.remedy) == ("hole 1", "redraw the boundary or the line")
    assert re.fullmatch(r"[78]\d% of the ground within 22 yd of its line is out of bounds", gap.taken)
    assert roomy == ()


def test_a_tee_far_from_its_line_is_said(demo_course: Course) -> None:
    hole = demo_course.holes[0]
    astray = replace(hole, tees=(replace(hole.tees[0], x=hole.tees[0].x + 400), *hole.tees[1:]))
    course = replace(demo_course, holes=(astray, *demo_course.holes[1:]))
    (gap,) = find_gaps(course)
    assert gap.place == "hole 1"
    assert gap.taken.startswith("the back tee is ")
    assert gap.remedy == "correct the tee's ref or the line"


def test_a_player_is_named_with_what_was_assumed(amateur: Player) -> None:
    text = player_text(amateur)
    assert text.startswith("Corin Vale: 106 mph, handicap 3\nstrikes: driver up, driver down, 3-wood")
    assert "\n  3-wood: attack -2.9°, dynamic loft 11.9°, height on the face 0 mm, tee height 10 mm\n" in text
    assert "106 mph, handicap +2\n" in player_text(replace(amateur, handicap_index=-2.0))


def test_the_exit_code_says_whether_anything_was_guessed(run: Run, tmp_path: Path) -> None:
    course, player = DEMO
    assert run("check", course)[0] == 0
    code, out, err = run("check", course, player)
    assert (code, err) == (1, "")
    assert "Vantle Skerry: 18 holes" in out
    assert "Corin Vale: 106 mph" in out
    content = json.loads(Path(course).read_text(encoding="utf-8"))
    (tmp_path / "untidy.geojson").write_text(
        json.dumps(
            content | {"features": [f for f in content["features"] if "leisure" not in f["properties"]]}
        ),
        encoding="utf-8",
    )
    code, out, _ = run("check", str(tmp_path / "untidy.geojson"))
    assert code == 1
    assert "\nmissing:\n  the course: has no boundary" in out
    (tmp_path / "broken.geojson").write_text("{", encoding="utf-8")
    code, out, err = run("check", str(tmp_path / "broken.geojson"))
    assert (code, out) == (2, "")
    assert err.startswith("holesim: broken.geojson: line 1, column 2: is not JSON")


def test_a_plan_says_what_was_guessed_of_the_course(run: Run, tmp_path: Path) -> None:
    course, player = DEMO
    content = json.loads(Path(course).read_text(encoding="utf-8"))
    line = next(f for f in content["features"] if f["properties"].get("golf") == "hole")
    line["geometry"]["coordinates"].reverse()
    number = line["properties"]["ref"]
    turned = tmp_path / "turned.geojson"
    turned.write_text(json.dumps(content), encoding="utf-8")
    code, _, err = run("plan", str(turned), player, "--hole", str(number), "--draws", "256")
    assert code == 0
    assert "holesim: guessed: turned.geojson: golf=hole " in err
    assert "runs from green to tee, and was reversed; draw it from tee to pin" in err


def test_what_is_not_known_of_the_height_of_ground_and_trees_is_a_gap(demo_course: Course) -> None:
    tee, pin = demo_course.holes[0].tees[0], demo_course.holes[0].pin
    spots = (Spot(tee.x, tee.y, 30.0), Spot(*pin, 20.0))
    bare = tuple(replace(area, height=None) for area in demo_course.areas)
    found = [str(gap) for gap in find_gaps(replace(demo_course, areas=bare, spots=spots))]
    woods = sum(area.ground is Ground.TREES for area in bare)
    assert found[0] == f"trees: {woods} outlines without a height, taken as 15 m high; add their height"
    assert found[1].startswith("holes 2, 3, 4, ")
    assert found[1].endswith(
        "no elevation at the back tee or the green, so it is taken from points nearby; add ele there"
    )
    assert len(found) == 2


def test_trees_across_the_line_near_the_tee_are_a_gap(demo_course: Course) -> None:
    tee = demo_course.holes[3].tees[0]
    wood = Area(Ground.TREES, Point(tee.x, tee.y).buffer(50), "wood", 15.0)
    (gap,) = find_gaps(replace(demo_course, areas=(*demo_course.areas, wood)))
    assert str(gap) == "hole 4: has trees across its line close to the tee; redraw them where it is open"


def test_notes_are_checked_too(run: Run) -> None:
    notes = find(COURSE).parent / "notes" / "oxlip_warren.toml"
    code, out, err = run("check", str(notes))
    assert (code, err) == (1, "")
    assert out.startswith(
        "Oxlip Warren: notes of 9 holes, par 36\n\nguessed:\n  hole 9: no green.wide, taken as"
    )


def test_what_women_have_of_their_own_is_said(demo_course: Course) -> None:
    first, *others = demo_course.holes
    women = replace(first, women=CardEntry(par=5, stroke_index=13))
    text = course_text(replace(demo_course, holes=(women, *others)))
    assert "\nwomen have par 72: hole 1 is a par 5\n" in text
    assert "\nwomen have their own stroke indices on 1 hole of 18\n" in text
    assert "women" not in course_text(demo_course)


@pytest.mark.parametrize(("key", "who"), [("handicap", ""), ("handicap:women", " for women")])
def test_two_equal_stroke_indices_of_one_sex_are_refused(
    run: Run, tmp_path: Path, key: str, who: str
) -> None:
    course, _ = DEMO
    content = json.loads(Path(course).read_text(encoding="utf-8"))
    lines = {f["properties"]["ref"]: f for f in content["features"] if f["properties"].get("golf") == "hole"}
    lines["2"]["properties"][key] = "13"  # hole 1 has it
    (tmp_path / "equal.geojson").write_text(json.dumps(content), encoding="utf-8")
    code, out, err = run("check", str(tmp_path / "equal.geojson"))
    place = "holesim: equal.geojson: hole 2: has the same stroke index"
    assert (code, out, err) == (2, "", f"{place}{who} as hole 1, 13; correct one of them\n")


def test_teams_are_checked_too(run: Run, tmp_path: Path) -> None:
    file = find(COURSE).parent / "teams" / "skerry.toml"
    code, out, err = run("check", str(file))
    assert (code, err) == (1, "")
    head, own = "Vantle Skerry mixed six: 6 players", "  Corin Vale     106 mph, handicap 3"
    assert out.startswith(f"{head}\n\nplayers:\n{own}\n")
    assert "\nopponents, in this order:\n  Perrin Ash     112 mph, handicap +1\n" in out
    assert (
        "\nmen play from the back tees\nwomen play from the middle tees\nback tees: course rating 72.8, slope"
        in out
    )
    assert "\nmiddle tees for women: course rating 76.3, slope 135\nwomen have par 73 over 18 holes\n" in out
    assert "\nassumed (to see what, check the player's file):\n  good_amateur.toml: 5 things\n" in out
    assert out.endswith("\n\na player without a file is a usual golfer of that handicap and club speed\n")
    (tmp_path / "team.toml").write_text('name = "Nobody"\nplayers = ["nowhere.toml"]\n', encoding="utf-8")
    code, out, err = run("check", str(tmp_path / "team.toml"))
    assert (code, out) == (2, "")
    assert err.endswith("nowhere.toml: no such file or directory; check the path\n")


@pytest.mark.parametrize("words", [("check",), ("check", "nowhere.geojson")])
def test_a_check_of_nothing_is_one_line(run: Run, words: tuple[str, ...]) -> None:
    code, out, err = run(*words)
    assert (code, out, err.count("\n")) == (2, "", 1)


def test_the_template_shows_every_key_that_is_read_and_leaves_nothing_open() -> None:
    folder = find(COURSE).parent
    course = load_course(folder / "template.geojson")
    assert course.guesses == find_gaps(course) == ()
    features = json.loads((folder / "template.geojson").read_text(encoding="utf-8"))["features"]
    used = {(key, value) for f in features for key, value in f["properties"].items() if key in KINDS}
    documented = (folder / "README.md").read_text(encoding="utf-8")
    for key, value in used:
        assert f"| `{key}={'*' if key == 'waterway' else value}` |" in documented
    read = {("golf", value) for value in GOLF} | {("natural", value) for value in NATURAL}
    assert read <= used
