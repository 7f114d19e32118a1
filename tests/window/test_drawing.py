"""Drawings: what nobody touched keeps its bytes, each step can be taken back, nothing is lost."""

import json
import math
import random
import signal
import time
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, cast

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pyproj import Geod

from holesim.course.collection_text import splice, split_collection
from holesim.course.course_file import load_course
from holesim.data.examples import COURSE as DEMO_COURSE
from holesim.data.examples import find
from holesim.errors import InputError
from holesim.window.drawing.checks import Snapshot, check_drawing
from holesim.window.drawing.drawing import Drawing, DrawnFeature, StaleError
from holesim.window.drawing.files import DrawingFiles, PictureTable
from holesim.window.drawing.steps import Edit
from holesim.window.folder import ChangedError, Folder
from tests.conftest import property_test
from tests.files.small_course import COURSE
from tests.window.running import Page, Said, Window, fill, running

NAME = "small.geojson"
TRIANGLE = {"type": "Polygon", "coordinates": [[[0, 0], [30, 0], [0, 30], [0, 0]]]}
BOW_TIE = {"type": "Polygon", "coordinates": [[[300, 0], [340, 40], [340, 0], [300, 40], [300, 0]]]}


def drawing(text: str = COURSE) -> Drawing:
    return Drawing(NAME, text.encode("utf-8"))


def dice(seed: int) -> random.Random:
    return random.Random(seed)  # noqa: S311 - no secret


def one(drawn: Drawing, name: str) -> DrawnFeature:
    return next(feature for feature in drawn.features if feature.content.get("id") == name)


# --- the text -------------------------------------------------------------------------------------

texts = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(max_size=6),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=4), inner, max_size=3),
    max_leaves=8,
)


@property_test()
@given(
    st.lists(texts.map(lambda t: {"any": t}), max_size=5),
    st.sampled_from([None, 1, "\t"]),
    st.sampled_from([1, -1]),
)
def test_a_collection_is_split_where_its_features_are(
    features: list[Any], indent: int | str | None, order: int
) -> None:
    content = {"features": features, "type": "FeatureCollection", "x": {"features": [1]}}
    text = json.dumps(dict(list(content.items())[::order]), indent=indent, ensure_ascii=order > 0)
    parts = split_collection(text)
    assert parts.joined() == text
    assert [json.loads(part) for part in parts.features] == features


@property_test()
@given(st.text("ab", max_size=12), st.text("ab", max_size=12))
def test_a_splice_leads_from_one_text_to_the_other(before: str, after: str) -> None:
    at, out, put = splice(before, after)
    assert before[:at] + out + before[at + len(out) :] == before
    assert before[:at] + put + before[at + len(out) :] == after
    assert Edit.between(0, before, after).inverse().changed(after) == before


@pytest.mark.parametrize("text", [COURSE, find(DEMO_COURSE).read_text(encoding="utf-8"), "\ufeff" + COURSE])
def test_a_drawing_that_nobody_changed_has_the_bytes_of_its_file(text: str) -> None:
    assert drawing(text).text() == text


# --- steps ----------------------------------------------------------------------------------------


def any_change(drawn: Drawing, chance: random.Random) -> None:
    """Change, add or take out some features, as one step."""
    texts: dict[int, str | None] = {}
    for feature in chance.sample(drawn.features, min(3, len(drawn.features))):
        shape = drawn.to_plane(feature)
        if chance.random() < 0.3:
            texts[feature.number] = None
        elif shape is not None and shape["type"] == "Polygon":
            shape["coordinates"][0][1][0] += chance.uniform(-5, 5)
            geometry = drawn.plane.to_earth(shape, feature.geometry)
            texts[feature.number] = feature.changed(geometry=geometry, properties={"height": "12"})
    added = [drawn.new_text("bunker", TRIANGLE, {"name": "ny \u00f8"})] * chance.randrange(3)
    drawn.change("any", texts, added)


@pytest.mark.parametrize("seed", range(20))
def test_undo_to_the_start_gives_the_same_bytes_and_redo_the_last(seed: int) -> None:
    drawn, chance = drawing(), dice(seed)
    seen = [drawn.text()]
    for _ in range(8):
        any_change(drawn, chance)
        seen.append(drawn.text())
        json.loads(drawn.text())
    for text in reversed(seen[:-1]):
        drawn.undo()
        assert drawn.text() == text
    assert not drawn.steps_dict()["can_undo"]
    for text in seen[1:]:
        drawn.redo()
        assert drawn.text() == text
    assert not drawn.steps_dict()["can_redo"]


def test_what_a_step_did_not_touch_keeps_its_text() -> None:
    drawn = drawing()
    before = {feature.number: feature.text for feature in drawn.features}
    bunker = one(drawn, "m1")
    shape = drawn.to_plane(bunker)
    assert shape is not None
    shape["coordinates"][0][0][1][0] += 4.0
    geometry = drawn.plane.to_earth(shape, bunker.geometry)
    drawn.change("moved", {bunker.number: bunker.changed(geometry=geometry)})
    for feature in drawn.features:
        assert (feature.text == before[feature.number]) == (feature.number != bunker.number)
    moved = one(drawn, "m1").content
    assert moved["properties"] == bunker.content["properties"]
    pairs = zip(_flat(moved["geometry"]), _flat(bunker.content["geometry"]), strict=True)
    assert sum(new != old for new, old in pairs) == 1


def _flat(geometry: Mapping[str, Any]) -> list[Any]:
    found: list[Any] = []

    def walk(inside: list[Any]) -> None:
        if isinstance(inside[0], int | float):
            found.append(inside)
        else:
            for part in inside:
                walk(part)

    walk(geometry["coordinates"])
    return found


def test_a_page_that_is_behind_is_refused() -> None:
    drawn = drawing()
    drawn.change("added", {}, [drawn.new_text("bunker", TRIANGLE, {})])
    with pytest.raises(StaleError, match="another window"):
        drawn.check(0)
    drawn.check(1)


def test_a_drawing_is_moved_to_where_it_belongs_with_its_lengths() -> None:
    """Lengths on the ellipsoid by pyproj's Geod, the inverse problem of Karney (2013), J Geod 87."""
    earth = Geod(ellps="WGS84")
    drawn = drawing()
    line = one(drawn, "h1").content["geometry"]["coordinates"]
    before = earth.inv(*line[0], *line[-1])
    start = drawn.plane.point_to_plane(*line[0])
    text = drawn.text()
    drawn.moved(start, (-112.25, -46.5), 30.0)
    line = one(drawn, "h1").content["geometry"]["coordinates"]
    after = earth.inv(*line[0], *line[-1])
    assert line[0] == pytest.approx([-112.25, -46.5], abs=1e-7)
    assert after[2] == pytest.approx(before[2], abs=0.03)
    assert (after[0] - before[0]) % 360 == pytest.approx(30, abs=0.02)
    drawn.undo()
    assert drawn.text() == text


# --- checks ---------------------------------------------------------------------------------------


def test_a_drawing_is_checked_as_the_command_does_and_each_line_finds_its_outline(tmp_path: Path) -> None:
    drawn = drawing()
    path = tmp_path / NAME
    path.write_text(drawn.text(), encoding="utf-8")
    course = load_course(path)
    found = check_drawing(Snapshot.of(drawn)).answer
    assert found["usable"]
    assert {str(guess) for guess in course.guesses} <= {say["text"] for say in found["says"]}
    assert [hole["hole"] for hole in found["holes"]] == [hole.number for hole in course.holes]
    for said, hole in zip(found["holes"], course.holes, strict=True):
        line = next(one for one in drawn.features if one.number == said["line"])
        shape = drawn.to_plane(line)
        assert shape is not None
        start = shape["coordinates"][0]
        away = math.dist(said["tees"][0]["at"], start)
        assert away == pytest.approx(
            math.dist((hole.tees[0].x, hole.tees[0].y), hole.line.coords[0]), abs=0.02
        )


def test_crossing_edges_get_the_engines_own_error_at_the_crossing() -> None:
    drawn = drawing()
    drawn.change("added", {}, [drawn.new_text("bunker", BOW_TIE, {})] * 2)
    found = check_drawing(Snapshot.of(drawn)).answer
    assert not found["usable"]
    (fault,) = [say for say in found["says"] if say["kind"] == "fault"]
    assert fault["ids"] == [drawn.features[-2].number]
    assert "self-intersection" in fault["text"]
    assert fault["at"] == pytest.approx([320, 20], abs=0.05)
    path = drawn.labels()[drawn.features[-2].number]
    assert fault["text"].startswith(path)


# --- files ----------------------------------------------------------------------------------------


@pytest.fixture
def folder(tmp_path: Path) -> Folder:
    (tmp_path / NAME).write_text(COURSE, encoding="utf-8")
    return Folder(tmp_path)


def test_undo_and_redo_are_kept_with_the_file(folder: Folder) -> None:
    files = DrawingFiles(folder, NAME)
    drawn, chance = files.read(), dice(5)
    for _ in range(5):
        any_change(drawn, chance)
    drawn.undo()
    files.write(drawn)
    any_change(drawn, chance)
    drawn.undo()
    drawn.undo()
    files.write(drawn)
    again = DrawingFiles(folder, NAME).read()
    assert again.text() == drawn.text() == (folder.root / NAME).read_text(encoding="utf-8")
    assert again.steps_dict() | {"revision": 0} == drawn.steps_dict() | {"revision": 0}
    while again.steps_dict()["can_undo"]:
        again.undo()
    assert again.text() == COURSE


def test_steps_whose_file_was_not_written_are_found_in_the_journal(folder: Folder) -> None:
    files = DrawingFiles(folder, NAME)
    drawn, chance = files.read(), dice(6)
    any_change(drawn, chance)
    files.write(drawn)
    saved = (folder.root / NAME).read_bytes()
    any_change(drawn, chance)
    files.write(drawn)
    (folder.root / NAME).write_bytes(saved)
    assert DrawingFiles(folder, NAME).read().text() == drawn.text()


def test_a_file_changed_outside_loses_its_undo_and_is_not_overwritten(folder: Folder) -> None:
    files = DrawingFiles(folder, NAME)
    drawn, chance = files.read(), dice(7)
    any_change(drawn, chance)
    files.write(drawn)
    other = COURSE.replace("Petrel", "Skua")
    (folder.root / NAME).write_text(other, encoding="utf-8")
    any_change(drawn, chance)
    with pytest.raises(ChangedError, match="changed outside"):
        files.write(drawn)
    assert (folder.root / NAME).read_text(encoding="utf-8") == other
    again = DrawingFiles(folder, NAME).read()
    assert again.text() == other
    assert not again.steps_dict()["can_undo"]


def test_a_torn_journal_costs_the_undo_alone(folder: Folder) -> None:
    files = DrawingFiles(folder, NAME)
    drawn, chance = files.read(), dice(8)
    any_change(drawn, chance)
    files.write(drawn)
    (journal,) = (folder.root / ".holesim" / "journals").iterdir()
    whole = journal.read_bytes()
    for size in range(0, len(whole), 37):
        journal.write_bytes(whole[:size])
        assert DrawingFiles(folder, NAME).read().text() == drawn.text()


def test_ten_earlier_versions_are_kept_and_come_back(folder: Folder, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("holesim.window.drawing.files._BETWEEN", 0.0)
    files = DrawingFiles(folder, NAME)
    drawn, chance = files.read(), dice(9)
    seen = []
    for _ in range(13):
        seen.append(drawn.text())
        any_change(drawn, chance)
        files.write(drawn)
    versions = files.versions.to_list()
    assert len(versions) == 10
    assert [files.versions.read(row["version"]).decode() for row in versions] == seen[:2:-1]
    before = drawn.text()
    drawn.restored(files.versions.read(versions[-1]["version"]), "back")
    assert drawn.text() == seen[3]
    drawn.undo()
    assert drawn.text() == before


def test_a_picture_keeps_its_place_beside_it_and_moves_with_the_drawing(folder: Folder) -> None:
    (folder.root / "page1.jpg").write_bytes(b"\xff\xd8\xff")
    files = DrawingFiles(folder, NAME)
    drawn = files.read()
    marks = [{"pixel": [10.0, 20.0], "at": [0.0, 0.0]}, {"pixel": [400.0, 900.0], "at": [30.0, 360.0]}]
    files.place_pictures([PictureTable.model_validate({"name": "page1.jpg", "marks": marks})], drawn.plane)
    (found,) = DrawingFiles(folder, NAME).pictures(drawn.plane)
    for mark, placed in zip(found["marks"], marks, strict=True):
        assert mark["pixel"] == placed["pixel"]
        assert mark["at"] == pytest.approx(placed["at"], abs=0.02)
    drawn.moved((0.0, 0.0), (-112.25, -46.5), 90.0)
    step = drawn.history.undone
    assert step is not None and step.move is not None  # noqa: PT018
    files.move_pictures(step.move)
    (found,) = files.pictures(drawn.plane)
    assert found["marks"][0]["at"] == pytest.approx([0, 0], abs=0.02)
    assert found["marks"][1]["at"] == pytest.approx([360, -30], abs=0.05)
    with pytest.raises(InputError, match="placed by one point"):
        files.place_pictures(
            [PictureTable.model_validate({"name": "page1.jpg", "marks": [marks[0], marks[0]]})], drawn.plane
        )


# --- the window -----------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def window(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Window]:
    place = tmp_path_factory.mktemp("folder")
    fill(place)
    with running(place) as started:
        yield started


def ask(window: Window, what: str, content: object = None, method: str = "POST") -> Said:
    status, answer = window.ask_json(method, f"/api/drawings/{what}", content)
    assert status < 300, answer
    return cast("Said", answer)


def pushed(page: Page, name: str, key: str, least: int) -> Said:
    """Return the next message of a drawing that has a key, of that revision or a later one."""
    while True:
        said = page.next()
        if said.get("drawing") == name and said.get(key, -1) >= least:
            return said


def start(window: Window, name: str) -> Said:
    """Put a course in the folder, and open it for drawing."""
    (window.folder / name).write_text(COURSE, encoding="utf-8")
    return ask(window, name, method="GET")


def added(revision: int, geometry: object = TRIANGLE, kind: str = "bunker") -> dict[str, Any]:
    change = {"add": {"kind": kind, "geometry": geometry, "tags": {}}}
    return {"revision": revision, "says": "bunker drawn", "changes": [change]}


def test_a_step_is_checked_saved_and_planned_for(window: Window) -> None:
    shown = start(window, "a.geojson")
    with window.page() as page:
        changed = ask(window, "a.geojson/steps", added(shown["revision"]))
        assert [one["kind"] for one in changed["features"]] == ["bunker"]
        assert changed["undo_says"] == "bunker drawn"
        assert pushed(page, "a.geojson", "checked", changed["revision"])["usable"]
        opened = page.ask("open", course="a.geojson", player="vale.toml")
        areas = next(one for one in opened["course"]["areas"] if one["ground"] == "bunker")
        assert sum(abs(_area(ring[0])) > 400 for ring in areas["polygons"]) == 1
        assert (window.folder / "a.geojson").read_text(encoding="utf-8") == COURSE
        pushed(page, "a.geojson", "saved", changed["revision"])
        assert (window.folder / "a.geojson").read_text(encoding="utf-8") != COURSE
        undone = ask(window, "a.geojson/undo", {"revision": changed["revision"]})
        pushed(page, "a.geojson", "saved", undone["revision"])
    assert (window.folder / "a.geojson").read_text(encoding="utf-8") == COURSE


def _area(ring: list[list[float]]) -> float:
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, ring[1:] + ring[:1], strict=True)) / 2


def test_a_second_page_is_told(window: Window) -> None:
    shown = start(window, "b.geojson")
    with window.page() as page:
        changed = ask(window, "b.geojson/steps", added(shown["revision"]))
        assert pushed(page, "b.geojson", "revision", changed["revision"])["drawing"] == "b.geojson"
        status, answer = window.ask_json("POST", "/api/drawings/b.geojson/steps", added(shown["revision"]))
        assert (status, "another window" in answer["error"]) == (412, True)


def test_a_file_changed_outside_is_told_and_kept(window: Window) -> None:
    shown = start(window, "c.geojson")
    with window.page() as page:
        changed = ask(window, "c.geojson/steps", added(shown["revision"]))
        other = COURSE.replace("Petrel", "Skua")
        (window.folder / "c.geojson").write_text(other, encoding="utf-8")
        while "clash" not in (said := page.next()):
            pass
        assert "changed outside" in said["clash"]
        ask(window, "c.geojson/copy", {"name": "c-2.geojson"})
        assert (window.folder / "c.geojson").read_text(encoding="utf-8") == other
        assert "[0.0" not in other
        assert len(
            json.loads((window.folder / "c-2.geojson").read_text(encoding="utf-8"))["features"]
        ) == len(shown["features"]) + len(changed["features"])
        anew = ask(window, "c.geojson", method="GET")
        assert anew["title"] == "Skua Ground"


def test_a_copy_leaves_the_drawing_as_it_is(window: Window) -> None:
    shown = start(window, "k.geojson")
    with window.page() as page:
        changed = ask(window, "k.geojson/steps", added(shown["revision"]))
        ask(window, "k.geojson/copy", {"name": "k-2.geojson"})
        pushed(page, "k.geojson", "saved", changed["revision"])
    assert ask(window, "k.geojson", method="GET")["undo_says"] == "bunker drawn"
    copied = (window.folder / "k-2.geojson").read_bytes()
    assert copied == (window.folder / "k.geojson").read_bytes()


def test_a_window_that_is_killed_loses_two_seconds_at_most(tmp_path: Path) -> None:
    fill(tmp_path)
    with running(tmp_path) as window:
        shown = start(window, "d.geojson")
        ask(window, "d.geojson/steps", added(shown["revision"]))
        time.sleep(2.6)
        window.stop(signal.SIGKILL)
    drawn = DrawingFiles(Folder(tmp_path), "d.geojson").read()
    assert len(drawn.features) == len(shown["features"]) + 1
    assert drawn.steps_dict()["undo_says"] == "bunker drawn"


def test_a_window_that_ends_saves_what_was_drawn(tmp_path: Path) -> None:
    fill(tmp_path)
    with running(tmp_path) as window:
        shown = start(window, "e.geojson")
        ask(window, "e.geojson/steps", added(shown["revision"]))
        window.stop()
    text = (tmp_path / "e.geojson").read_text(encoding="utf-8")
    assert len(json.loads(text)["features"]) == len(shown["features"]) + 1


@pytest.mark.parametrize(
    ("content", "status"),
    [
        ({}, 422),
        ({"revision": 0, "changes": []}, 422),
        ({"revision": 0, "changes": [{"id": 999, "remove": True}]}, 422),
        (
            {"revision": 0, "changes": [{"id": 1, "geometry": {"type": "Polygon", "coordinates": [[[1]]]}}]},
            422,
        ),
        ({"revision": 0, "changes": [{"id": 1, "geometry": {"type": "Blob"}}]}, 422),
        ({"revision": 0, "changes": [{"add": {"kind": "lava", "geometry": TRIANGLE}}]}, 422),
        ([1], 422),
        ({"revision": 7, "changes": [{"id": 1, "remove": True}]}, 412),
    ],
)
def test_a_step_that_makes_no_sense_changes_nothing(window: Window, content: object, status: int) -> None:
    start(window, "f.geojson")
    got, answer = window.ask_json("POST", "/api/drawings/f.geojson/steps", content)
    assert got == status, answer
    assert "\n" not in answer["error"]
    assert ask(window, "f.geojson", method="GET")["revision"] == 0


@pytest.mark.parametrize("name", ["../x.geojson", ".x.geojson", "x.toml", "a/../../x.geojson"])
def test_a_drawing_stays_in_the_folder(window: Window, name: str) -> None:
    status, _ = window.ask_json("POST", "/api/drawings", {"name": name, "title": "X"})
    assert status in (400, 422)


def test_a_new_course_is_begun_and_planned_for(window: Window) -> None:
    status, _ = window.ask_json("POST", "/api/drawings", {"name": "new.geojson", "title": "Nightjar Fen"})
    assert status == 201
    shown = ask(window, "new.geojson", method="GET")
    assert (shown["title"], shown["nowhere"]) == ("Nightjar Fen", True)
    status, folder = window.ask_json("GET", "/api/folder")
    assert [row["drawable"] for row in folder["broken"] if row["name"] == "new.geojson"] == [True]
    line = {"type": "LineString", "coordinates": [[0, 0], [0, 360]]}
    green = {"type": "Polygon", "coordinates": [[[-12, 345], [12, 345], [12, 372], [-12, 372], [-12, 345]]]}
    changes = [
        {"add": {"kind": "line", "geometry": line, "tags": {"ref": "1", "par": "4"}}},
        {"add": {"kind": "green", "geometry": green}},
    ]
    with window.page() as page:
        changed = ask(window, "new.geojson/steps", {"revision": 0, "says": "hole", "changes": changes})
        said = pushed(page, "new.geojson", "checked", changed["revision"])
        assert said["usable"]
        (hole,) = said["holes"]
        assert hole["tees"][0]["guessed"]
        assert hole["pin_guessed"]
        assert hole["tees"][0]["length_yd"] == pytest.approx(360 / 0.9144, abs=0.05)
        assert page.ask("open", course="new.geojson", player="vale.toml")["course"]["name"] == "Nightjar Fen"


# --- by numbers -----------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def drawn_hole(window: Window) -> Said:
    """A hole of 401 yd that bends left, drawn by its numbers towards the south-east."""
    window.ask_json("POST", "/api/drawings", {"name": "hole.geojson", "title": "Nightjar Fen"})
    ask(window, "hole.geojson", method="GET")
    bend = {"at_yd": 240, "side": "left", "degrees": 30}
    hole = {"number": 4, "par": 4, "length_yd": 401, "stroke_index": 7, "bends": [bend]}
    content = {"revision": 0, "hole": hole, "tee": [50, -20], "towards": [250, -220]}
    with window.page() as page:
        changed = ask(window, "hole.geojson/holes", content)
        return changed | {"checked": pushed(page, "hole.geojson", "checked", changed["revision"])}


def test_a_hole_is_drawn_by_its_numbers(drawn_hole: Said) -> None:
    kinds = {one["kind"]: one for one in drawn_hole["features"]}
    assert kinds.keys() == {"line", "tee", "fairway", "green", "pin"}
    assert [kind for kind, one in kinds.items() if one["guessed"]] == ["fairway", "green"]
    (hole,) = drawn_hole["checked"]["holes"]
    assert drawn_hole["checked"]["usable"]
    assert hole["tees"][0]["length_yd"] == pytest.approx(401, abs=0.5)
    assert hole["tees"][0]["at"] == pytest.approx([50, -20], abs=0.1)
    (x, y), (u, v) = hole["tees"][0]["at"], hole["pin"]
    assert math.degrees(math.atan2(u - x, v - y)) == pytest.approx(135, abs=0.1)
    assert (hole["par"], hole["pin_guessed"], hole["tees"][0]["guessed"]) == (4, False, False)


def test_a_hazard_keeps_its_numbers_until_it_is_drawn_by_hand(window: Window, drawn_hole: Said) -> None:
    line = next(one for one in drawn_hole["features"] if one["kind"] == "line")

    def numbers(page: Page, revision: int) -> tuple[float, float]:
        (hole,) = pushed(page, "hole.geojson", "checked", revision)["holes"]
        (found,) = hole["numbers"]
        return found["from_yd"], found["to_yd"]

    def noted(start: float, stop: float) -> Said:
        return {"hole": 4, "side": "across", "from_yd": start, "to_yd": stop, "wide_yd": 70}

    with window.page() as page:
        content = {"revision": drawn_hole["revision"], "word": "creek", "noted": noted(287, 293)}
        changed = ask(window, "hole.geojson/hazards", content)
        assert numbers(page, changed["revision"]) == pytest.approx((287, 293), abs=0.5)
        (creek,) = changed["features"]
        assert (creek["noted"]["from_yd"], creek["noted"]["word"]) == (287, "creek")
        content = {
            "revision": changed["revision"],
            "id": creek["id"],
            "noted": noted(297, 305) | {"kind": "red"},
        }
        changed = ask(window, "hole.geojson/hazards", content)
        assert numbers(page, changed["revision"]) == pytest.approx((297, 305), abs=0.5)
        # The bend moves: the creek is drawn anew at its numbers, in the same step.
        shape = line["geometry"]
        shape["coordinates"][len(shape["coordinates"]) // 2][0] += 15.0
        content = {"revision": changed["revision"], "changes": [{"id": line["id"], "geometry": shape}]}
        changed = ask(window, "hole.geojson/steps", content)
        assert {one["id"] for one in changed["features"]} == {line["id"], creek["id"]}
        assert numbers(page, changed["revision"]) == pytest.approx((297, 305), abs=0.5)
        changed = ask(window, "hole.geojson/undo", {"revision": changed["revision"]})
        assert {one["id"] for one in changed["features"]} == {line["id"], creek["id"]}
        moved = next(one for one in changed["features"] if one["id"] == creek["id"])["geometry"]
        moved["coordinates"] = [[[x + 10, y - 10] for x, y in ring] for ring in moved["coordinates"]]
        content = {"revision": changed["revision"], "changes": [{"id": creek["id"], "geometry": moved}]}
        changed = ask(window, "hole.geojson/steps", content)
        assert changed["features"][0]["noted"] is None
        assert numbers(page, changed["revision"]) != pytest.approx((297, 305), abs=0.5)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        ({"word": "creeck", "noted": {"hole": 4, "side": "across", "from_yd": 280, "to_yd": 290}}, "creek?"),
        (
            {"word": "pond", "noted": {"hole": 9, "side": "left", "from_yd": 280, "to_yd": 290}},
            "draw the hole",
        ),
        ({"word": "pond", "noted": {"hole": 4, "side": "left", "from_yd": 290, "to_yd": 280}}, "nearer"),
        ({"word": "green", "noted": {"hole": 4, "side": "left", "from_yd": 280, "to_yd": 290}}, "no hazard"),
    ],
)
@pytest.mark.usefixtures("drawn_hole")
def test_a_hazard_that_makes_no_sense_is_refused(window: Window, content: Said, words: str) -> None:
    revision = ask(window, "hole.geojson", method="GET")["revision"]
    status, answer = window.ask_json(
        "POST", "/api/drawings/hole.geojson/hazards", content | {"revision": revision}
    )
    assert status == 422
    assert words in answer["error"]
