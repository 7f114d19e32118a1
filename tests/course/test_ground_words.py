"""Golfers' words for ground, sides and stakes, in notes and in course files."""

from collections.abc import Callable
from dataclasses import replace

import pytest
from shapely.geometry import Polygon

from holesim.course.course import Course, Ground
from holesim.course.ground_words import find_meaning, meaning
from holesim.course.notes_file import load_notes, read_hole
from holesim.course.yardage_notes import YARDS
from holesim.errors import InputError
from holesim.units import YARD
from tests.course.noted_holes import Json, WriteNotes, plain_hole, plain_notes
from tests.files.drawn_courses import Damage, at, ring


@pytest.mark.parametrize(
    ("words", "ground", "form"),
    [
        ("creek Streams DITCHES brook burns", Ground.RED, "stream"),
        ("pond lakes Water lateral-water-hazard", Ground.RED, "strip"),
        ("water_hazard yellow-stakes", Ground.YELLOW, "strip"),
        ("bunkers sand-traps fairway_bunker waste waste-areas", Ground.BUNKER, "bunker"),
        ("OB o.b. out-of-bounds OOB", Ground.OUT, "strip"),
        ("trees wood Woods forest", Ground.TREES, "strip"),
        ("scrub gorse bushes heavy-rough", Ground.HEAVY_ROUGH, "strip"),
        ("rough semi-rough", Ground.ROUGH, "strip"),
    ],
)
def test_words_mean_what_golfers_mean_by_them(words: str, ground: Ground, form: str) -> None:
    for word in words.split():
        found = meaning(word)
        assert (found.ground, found.form, found.side) == (ground, form, None), word


def test_a_word_may_have_a_side() -> None:
    for word, side in (
        ("left rough", "left"),
        ("Right-Rough", "right"),
        ("ob_left", "left"),
        ("RH trees", "right"),
    ):
        found = find_meaning(word)
        assert found is not None
        assert found.side == side
    assert find_meaning("left and right rough") is None
    assert find_meaning("left") is None


@pytest.mark.parametrize(("word", "near"), [("creeek", "creek"), ("pnd", "pond"), ("bunkr", "bunker")])
def test_an_unknown_word_is_refused_with_the_nearest_known(word: str, near: str) -> None:
    with pytest.raises(InputError, match=f"{word}: is no word for ground that is known; did you mean {near}"):
        meaning(word)
    assert find_meaning(word) is None


# --- in notes ---------------------------------------------------------------------------------------


def test_notes_may_stand_under_golfers_words(write: WriteNotes) -> None:
    plain: Json = {
        "streams": [{"at": 290, "wide": 4}],
        "water": [{"side": "left", "from": 200, "to": 230, "off": 9, "wide": 20, "marked": "yellow"}],
        "out_of_bounds": [{"side": "right", "off": 30}],
        "bunkers": [{"side": "middle", "from": 250, "to": 256, "wide": 9}],
    }
    spoken: Json = {
        "creek": {"at": 290, "wide": 4},
        "Pond": [{"side": "LH", "from": 200, "to": 230, "off": 9, "wide": 20, "marked": "yellow stakes"}],
        "ob_right": [{"off": 30}],
        "sand traps": [{"side": "centre", "from": 250, "to": 256, "wide": 9}],
    }
    (one,), (other,) = (
        (read_hole(plain_hole() | notes, file="book", unit=YARDS)[0],) for notes in (plain, spoken)
    )
    assert one.streams[0].start == other.streams[0].start
    for own, others in ((one.strips, other.strips), (one.bunkers, other.bunkers)):
        assert {replace(noted, label="") for noted in own} == {replace(noted, label="") for noted in others}
    assert (
        load_notes(write(plain_notes(lake=[{"side": "left", "from": 180}]))).holes[0].strips[0].side == "left"
    )


def test_faults_and_gaps_are_said_in_the_words_of_the_notes() -> None:
    one = {"side": "left", "from": 180, "to": 200, "off": 5, "wide": 9}
    hole = plain_hole() | {"water": [one], "pond": [one | {"side": "right"}, one | {"off": -1}]}
    with pytest.raises(InputError, match=r"book: hole 7, pond 2\.off: input should be greater than"):
        read_hole(hole, file="book", unit=YARDS)
    hole = plain_hole() | {"water": [one], "pond": [one | {"from": 220}]}
    with pytest.raises(InputError, match="hole 7, pond 1: runs from 220 yd to 200 yd"):
        read_hole(hole, file="book", unit=YARDS)
    _, guessed = read_hole(plain_hole() | {"creek": [{"at": 250}]}, file="book", unit=YARDS)
    assert [guess.taken for guess in guessed] == ["no creek.wide, taken as 3.281 yd"]


def test_a_waste_area_is_sand_and_said_to_be_a_guess() -> None:
    waste = {"side": "left", "from": 200, "to": 260, "off": 2, "wide": 20}
    hole, guessed = read_hole(plain_hole() | {"waste": [waste]}, file="book", unit=YARDS)
    assert hole.bunkers[0].stop == pytest.approx(260 * YARD)
    (guess,) = map(str, guessed)
    assert guess.startswith(
        "hole 7: waste is taken as sand to play from without penalty, as in a bunker; note it"
    )


# --- in course files --------------------------------------------------------------------------------


def drawn_as(kind: str, tags: dict[str, str], coordinates: object) -> Damage:
    def add(content: Json) -> None:
        geometry = {"type": kind, "coordinates": coordinates}
        content["features"].append({"type": "Feature", "id": "x", "properties": tags, "geometry": geometry})

    return add


RING = [ring(30, 150, 50, 180)]
LINE = [at(-40, 200), at(40, 200)]


@pytest.mark.parametrize(
    ("tags", "ground", "guess"),
    [
        ({"golf": "pond"}, Ground.RED, "golf=pond was taken for red penalty area; write golf=lateral"),
        ({"golf": "OB"}, Ground.OUT, "golf=OB was taken for out of bounds; write golf=out_of_bounds"),
        ({"golf": "waste_area"}, Ground.BUNKER, "golf=waste_area was taken for bunker; write golf=bunker"),
        ({"golf": "sand"}, Ground.BUNKER, "golf=sand was taken for bunker; write golf=bunker"),
        ({"natural": "lake"}, Ground.RED, "natural=lake was taken for red penalty area; write golf=lateral"),
        ({"golf": "woods"}, Ground.TREES, "golf=woods was taken for trees; write natural=wood"),
        (
            {"golf": "creek"},
            Ground.RED,
            "golf=creek was taken for a stream, red penalty area; write waterway=stream",
        ),
    ],
)
def test_a_course_file_may_have_golfers_words(
    read: Callable[..., Course], tags: dict[str, str], ground: Ground, guess: str
) -> None:
    before = read()
    course = read(drawn_as("Polygon", tags, RING))
    (added,) = (area for area in course.areas if area not in before.areas)
    assert added.ground is ground
    (said,) = set(map(str, course.guesses)) - set(map(str, before.guesses))
    assert guess in said


def test_a_creek_drawn_as_a_line_is_a_stream(read: Callable[..., Course]) -> None:
    course = read(drawn_as("LineString", {"golf": "creek", "width": "4"}, LINE))
    (creek,) = (area.outline for area in course.areas if area.label == "golf=creek x")
    assert isinstance(creek, Polygon)
    _, south, _, north = creek.bounds
    assert north - south == pytest.approx(4, abs=0.05)


def test_openstreetmaps_own_values_stay_what_they_are(read: Callable[..., Course]) -> None:
    before = read()
    for tags in ({"natural": "sand"}, {"natural": "wetland"}, {"golf": "cartpath"}):
        course = read(drawn_as("Polygon", tags, RING))
        assert len(course.areas) == len(before.areas)
        assert course.guesses == before.guesses
