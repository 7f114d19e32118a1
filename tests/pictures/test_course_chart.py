"""Charts of a course as read: what is on them, and that names from files stay text."""

from dataclasses import replace

import pytest

from holesim.course.course import Course, Spot
from holesim.course.ground_map import map_ground
from holesim.errors import Guess
from holesim.pictures.course_chart import chart_course, chart_hole
from tests.conftest import DEMO, Run
from tests.paper import check_picture, said
from tests.pictures.conftest import HOSTILE


def test_the_course_is_drawn_with_every_hole_and_what_is_open(demo_course: Course) -> None:
    guesses = tuple(
        Guess(f"golf=hole h{n}", "has no par, and was taken for a par 4", "add it") for n in range(20)
    )
    ax = chart_course(replace(demo_course, guesses=guesses, boundary=None))
    text = said(ax.get_figure(root=True))
    assert "Vantle Skerry 18 holes, par 71, 6,879 yd Guessed golf=hole h0: has no par, and was" in text
    assert "and 4 more Missing the course: has no boundary" in text
    for number in range(1, 19):
        assert f" {number} " in f" {text} "
    assert "200 yd" in text
    assert "6,290 m" in said(chart_course(demo_course, metric=True).get_figure(root=True))


def test_a_hole_is_drawn_with_its_tees_and_how_it_falls(demo_course: Course) -> None:
    hole = demo_course.holes[1]
    tee = hole.tees[0]
    sloped = replace(demo_course, spots=(Spot(tee.x, tee.y, 30.0), Spot(*hole.pin, 12.0)))
    ax = chart_hole(sloped, hole, map_ground(sloped))
    text = said(ax.get_figure(root=True))
    assert (
        f"Hole 2 par {hole.par}, stroke index {hole.stroke_index} back {tee.length / 0.9144:.0f} yd" in text
    )
    assert "The green lies 20 yd below the back tee." in text
    assert "Half way lies 11 yd below the back tee." in text
    level = said(chart_hole(demo_course, hole, map_ground(demo_course), metric=True).get_figure(root=True))
    assert f"back {tee.length:.0f} m" in level
    assert "below" not in level


def test_names_from_files_stay_text_and_in_their_place(demo_course: Course) -> None:
    tees = tuple(replace(tee, name=HOSTILE) for tee in demo_course.holes[0].tees)
    hole = replace(demo_course.holes[0], tees=tees)
    course = replace(demo_course, name=HOSTILE, holes=(hole, *demo_course.holes[1:]))
    for ax in (chart_course(course), chart_hole(course, hole, map_ground(course))):
        figure = ax.get_figure(root=True)
        assert figure is not None
        check_picture(figure)


@pytest.mark.parametrize("words", [(), ("--metric",)])
def test_check_draws_the_course_and_each_hole(
    run: Run, tmp_path_factory: pytest.TempPathFactory, words: tuple[str, ...]
) -> None:
    folder = tmp_path_factory.mktemp("charts") / "new"
    code, out, err = run("check", *DEMO, "--out", str(folder), *words)
    assert code == 1  # of the player something is assumed
    assert out.startswith("Vantle Skerry: 18 holes")
    assert err == f"wrote 19 files to {folder}\n"
    expected = ["course.png", *(f"hole-{number:02d}.png" for number in range(1, 19))]
    assert sorted(path.name for path in folder.iterdir()) == expected
    assert all(path.read_bytes().startswith(b"\x89PNG") for path in folder.iterdir())


def test_charts_are_of_one_course(run: Run) -> None:
    code, out, err = run("check", DEMO[0], DEMO[0], "--out", "charts")
    assert (code, out) == (2, "")
    assert err == "holesim: --out: draws one course at a time; give one course file\n"
