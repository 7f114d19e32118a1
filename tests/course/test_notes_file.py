"""Reading notes: gaps are filled and said, and each fault is one line."""

from collections.abc import Iterator
from copy import deepcopy
from pathlib import Path
from typing import get_args

import pytest

from holesim.common.toml_tables import Table
from holesim.course.notes_file import load_notes
from holesim.course.notes_tables import HoleTable, NotesFile
from holesim.errors import InputError
from holesim.units import YARD
from tests.conftest import Run
from tests.course.noted_holes import EXAMPLE, WriteNotes, plain_hole, plain_notes, read_back, text_of


def test_heights_may_be_in_feet(write: WriteNotes) -> None:
    heights = [{"at": 0, "height": 60}, {"at": "green", "height": 30}]
    in_feet = load_notes(write(plain_notes(heights=heights) | {"height_units": "feet"}))
    assert in_feet.holes[0].heights[0][1] == pytest.approx(60 * 0.3048)
    in_yards = load_notes(write(plain_notes(heights=heights)))
    assert in_yards.holes[0].heights[0][1] == pytest.approx(60 * YARD)


def test_a_key_is_known_by_what_people_write_for_it(write: WriteNotes) -> None:
    for hole, expected in (
        ({"doglegs": []}, "hole 7, doglegs: is not a key of a notes file; did you mean bends?"),
        (
            {"fairway": {"width": 30}},
            "hole 7, fairway.width: is not a key of a notes file; did you mean wide?",
        ),
    ):
        with pytest.raises(InputError) as caught:
            load_notes(write(plain_notes(**hole)))
        assert str(caught.value).endswith(expected)


def tables(model: type[Table]) -> Iterator[type[Table]]:
    """Yield a table and those within it."""
    yield model
    for field in model.model_fields.values():
        pending = [field.annotation]
        while pending:
            part = pending.pop()
            if isinstance(part, type) and issubclass(part, Table):
                yield from tables(part)
            pending += get_args(part)


def test_the_example_and_the_readme_have_every_key() -> None:
    example, readme = (
        EXAMPLE.read_text(encoding="utf-8"),
        (EXAMPLE.parents[1] / "README.md").read_text(encoding="utf-8"),
    )
    both = (NotesFile, HoleTable)
    keys = {
        f.alias or name for top in both for table in tables(top) for name, f in table.model_fields.items()
    }
    assert {"holes", "from", "off_line", "marked"} < keys
    for key in keys:
        assert f"{key} = " in example or f"[[{key}]]" in example, key
        assert f"`{key}`" in readme, key


def test_each_gap_is_said_once_with_its_holes(write: WriteNotes) -> None:
    bare = {"number": 1, "par": 4, "length": 400}
    water = {"side": "left", "from": 180}
    content = {
        "name": "Bare",
        "holes": [bare, bare | {"number": 2, "bearing": 10, "water": [water, water | {"side": "right"}]}],
    }
    guesses = [str(guess) for guess in load_notes(write(content)).guesses]
    assert guesses == [
        "the course: no at, drawn in the open ocean; give at if its place matters",
        "hole 1: no bearing, taken as north, so the wind on it may be wrong; note it",
        "holes 1, 2: no green.wide, taken as 26 yd; note it",
        "holes 1, 2: no green.deep, taken as 30 yd; note it",
        "holes 1, 2: no fairway.from, taken as 150 yd; note it",
        "holes 1, 2: no fairway.wide, taken as 30 yd; note it",
        "hole 2: no water.off, taken as 8 yd; note it",
        "hole 2: no water.wide, taken as 40 yd; note it",
    ]


def test_tees_alone_give_the_length_and_a_length_alone_a_back_tee(write: WriteNotes) -> None:
    content = plain_notes(tees={"blue": 380, "white": 402})
    del content["holes"][0]["length"]
    (hole,) = load_notes(write(content)).holes
    assert hole.length == pytest.approx(402 * YARD)
    assert [name for name, _ in hole.tees] == ["white", "blue"]
    (hole,) = load_notes(write(plain_notes())).holes
    assert hole.tees == (("back", hole.length),)
    (hole,) = load_notes(write(plain_notes(tees={"red": 330}))).holes
    assert [name for name, _ in hole.tees] == ["back", "red"]


@pytest.mark.parametrize(("par", "length"), [(3, 180), (4, 400), (5, 560), (6, 720), (7, 900)])
def test_a_hole_may_have_any_par_from_3_to_7(write: WriteNotes, par: int, length: int) -> None:
    (hole,) = load_notes(write(plain_notes(par=par, length=length))).holes
    assert hole.par == par
    assert hole.length == pytest.approx(length * YARD)


def test_two_holes_cannot_share_a_number_or_a_stroke_index(write: WriteNotes) -> None:
    content = plain_notes(stroke_index=3)
    content["holes"].append(deepcopy(content["holes"][0]))
    with pytest.raises(InputError, match="holes: two have number 7; correct one of them"):
        load_notes(write(content))
    content["holes"][1]["number"] = 8
    with pytest.raises(InputError, match="holes: two have stroke_index 3"):
        load_notes(write(content))


SOUND = text_of(plain_notes(bunkers=[{"side": "left", "from": 230, "to": 250}]))


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        (SOUND, "", "is empty; give at least name, holes"),
        (SOUND, "name = 'x'", "holes: is missing; add it"),
        ("holes", "hole", "hole: is not a key of a notes file; did you mean holes?"),
        ("bearing", "baring", "hole 7, baring: is not a key of a notes file; did you mean bearing?"),
        (
            '"left"',
            '"lefft"',
            "bunkers 1.side: input should be 'left', 'right' or 'middle', not 'lefft'; did you mean left?",
        ),
        (
            "from = 230",
            "form = 230",
            "hole 7, bunkers 1.form: is not a key of a notes file; did you mean from?",
        ),
        ("from = 230, ", "", "hole 7, bunkers 1.from: is missing; add it"),
        ("from = 230", "from = nan", "hole 7, bunkers 1.from: input should be a finite number, not nan"),
        ("length = 400", "length = -400", "length: input should be greater than or equal to 0, not -400"),
        ("length = 400", "length = 1e300", "length: input should be less than or equal to 1000, not 1e+300"),
        ("length = 400", "length = 40" + "0" * 400, "hole 7, length: "),
        ("length = 400", 'length = "400"', "length: should be a number, not '400'"),
        ("length = 400, ", "", "hole 7: has neither length nor tees; give its length from the back tee"),
        ("number = 7", "number = 7.5", "holes 1, number: should be a whole number, not 7.5"),
        ("number = 7", "number = true", "holes 1, number: should be a whole number, not true"),
        ("to = 250", 'to = "gren"', "hole 7, bunkers 1.to: should be a number, not 'gren'"),
        ("bunkers = [", "bunkers = 3 #", "is not TOML"),
        ("[10, 20]", "[10]", "at: has 1 of at least 2 entries; correct"),
        ("[10, 20]", "[100, 20]", "at: 100, 20 is not a place for a course; give latitude, then longitude"),
        ("[{number", "3 #", "holes: should be a list, not 3"),
        ("[{number", "[3] #", "holes 1: is not a table but 3"),
    ],
)
def test_a_fault_is_one_line_and_nothing_is_written(
    run: Run, tmp_path: Path, old: str, new: str, expected: str
) -> None:
    assert old in SOUND
    book, out = tmp_path / "book.toml", tmp_path / "out" / "course.geojson"
    book.write_text(SOUND.replace(old, new, 1), encoding="utf-8")
    code, said, err = run("draw", str(book), "--out", str(out))
    assert (code, said, err.count("\n")) == (2, "", 1)
    assert err.startswith("holesim: book.toml: ")
    assert expected in err
    assert list(tmp_path.iterdir()) == [book]


def test_a_strip_ends_at_a_distance_or_the_green(write: WriteNotes) -> None:
    with pytest.raises(InputError, match=r"'gren'; did you mean green\?"):
        load_notes(write(plain_notes(water=[{"side": "left", "from": 180, "to": "gren"}])))
    with pytest.raises(InputError, match="distance from 0 to 1000 or 'green', not true"):
        load_notes(write(SOUND.replace("bunkers = [{", "water = [{").replace("to = 250", "to = true")))


def test_so_many_holes_are_no_course(write: WriteNotes) -> None:
    hole = plain_hole()
    with pytest.raises(InputError, match="holes: has 1000 of at most 36 entries"):
        load_notes(write({"name": "x", "holes": [hole] * 1000}))
    many = {"name": "x", "at": [10, 20], "holes": [hole | {"number": number} for number in range(1, 37)]}
    assert len(read_back(write(many)).holes) == 36


def test_the_notes_are_not_written_over(run: Run, tmp_path: Path) -> None:
    book = tmp_path / "book.toml"
    book.write_text(SOUND, encoding="utf-8")
    code, _, err = run("draw", str(book), "--out", str(book))
    assert code == 2
    assert "is what is read" in err
    assert book.read_text(encoding="utf-8") == SOUND
