"""Pocket card and coach's sheet: what is on them, and that no word lies on another."""

import json
from collections.abc import Callable, Iterator
from dataclasses import replace
from html import escape
from pathlib import Path

import numpy as np
import pytest
from matplotlib.figure import Figure
from matplotlib.text import Text
from matplotlib.transforms import Bbox

from holesim.app.plan_folder import plans_json
from holesim.common.safe_files import json_text
from holesim.course.course import Course
from holesim.handouts.coach_sheet import coach_pages
from holesim.handouts.plan_words import mark_of, notes_on_round, rounds_of, side_by_side
from holesim.handouts.pocket_card import pocket_pages
from holesim.pictures.typesetting import own_settings
from holesim.plan.plan import make_plan
from holesim.plan.plan_file import PlanFile, load_plans
from holesim.plan.round_options import RoundOptions
from holesim.player.player import Player
from holesim.reports.break_even_text import break_even_dict, break_even_sentence
from holesim.study.break_even import find_break_even
from holesim.study.break_even_file import load_break_even
from tests.conftest import Run
from tests.paper import FINE, check_words, drawn, texts


def read(text: str, folder: Path) -> list[PlanFile]:
    path = folder / "plan.json"
    path.write_text(text, encoding="utf-8")
    return load_plans(path)[0]


@pytest.fixture(scope="module")
def plans(demo_course: Course, amateur: Player, tmp_path_factory: pytest.TempPathFactory) -> list[PlanFile]:
    """Eighteen holes in two winds, the other way round and with long names."""
    calm = RoundOptions(table=True)
    windy = RoundOptions(wind_mph=18, wind_from_deg=250, table=True)
    course = replace(
        demo_course, name="The Very Long and Winding Links of Upper Vantle Skerry by the Sea" * 2
    )
    left = replace(amateur, hand="left", name="Bartholomew Featherstonehaugh-Cholmondeley the Younger" * 2)
    made = [
        make_plan(demo_course, amateur, calm.changed(draws=256)),
        make_plan(course, left, windy.changed(draws=256, goal="par")),
    ]
    return read(plans_json(made), tmp_path_factory.mktemp("pocket"))


Maker = Callable[..., Iterator[Figure]]


def pages(make: Maker, plans: list[PlanFile], *, metric: bool) -> Iterator[Figure]:
    with own_settings():
        for plan in plans:
            yield from map(drawn, make(plan, metric=metric))


@pytest.mark.parametrize("metric", [False, True])
@pytest.mark.parametrize("make", [pocket_pages, coach_pages])
def test_no_words_overlap_or_are_cut(make: Maker, plans: list[PlanFile], *, metric: bool) -> None:
    count = 0
    for figure in pages(make, plans[1:], metric=metric):
        boxes = texts(figure)
        check_words(boxes)
        for ax in figure.axes:  # no word of the page runs into a map
            place = Bbox(ax.get_window_extent().get_points() / FINE)
            for text, box in boxes:
                shared = Bbox.intersection(place, box)
                assert shared is None or shared.height < 0.5 or shared.width < 0.5, text.get_text()
        count += len(boxes)
    assert count > 200


@pytest.mark.parametrize("make", [pocket_pages, coach_pages])
def test_nothing_is_shortened_where_names_are_short(make: Maker, plans: list[PlanFile]) -> None:
    for figure in pages(make, plans[:1], metric=True):
        assert not [
            text.get_text() for text, _ in texts(figure) if "\N{HORIZONTAL ELLIPSIS}" in text.get_text()
        ]


def test_a_strips_words_stay_between_its_folds(plans: list[PlanFile]) -> None:
    folds = np.linspace(22, 573, 4)
    for figure in pages(pocket_pages, plans, metric=False):
        for text, box in texts(figure):
            if 50 < box.y0 < 790:
                assert np.searchsorted(folds, box.x0) == np.searchsorted(folds, box.x1), text.get_text()


def test_the_sheet_has_both_strikes_of_a_hole(plans: list[PlanFile]) -> None:
    first, *rest = pages(coach_pages, plans[:1], metric=False)
    whole = " ".join(text.get_text() for figure in rest for text, _ in texts(figure))
    for tee in plans[0].tees:
        shown = side_by_side(tee)
        assert shown[0] == tee.chosen()
        # It is held against the best of all the others.
        assert shown[1] == min((s for s in tee.strikes if s != shown[0]), key=lambda s: s.loss)
        for strike in shown:
            assert f"{strike.strokes:.2f}" in whole
            assert f"{strike.fairway:.1%}" in whole
        if not tee.choice.close:
            label, _, why = tee.reason.partition(": ")
            assert f"{label.capitalize()}: {why.split(',')[0]}" in whole
    for tee in plans[0].tees:
        assert f"{100 * tee.choice.chance:.0f} in 100" in whole or tee.choice.chance > 0.99
        assert not tee.doubt or tee.doubt[1:] in whole
    said = " ".join(text.get_text() for text, _ in texts(first))
    for policy, strokes, over in rounds_of(plans[0], "back"):
        assert f"{policy} {strokes}{f' ({over})' if over else ''}" in said
    assert plans[0].measuring["back"].given_away >= 0.05
    (worth,) = notes_on_round(plans[0], "back")
    assert worth[1:] in said
    for words in (
        "Setting up",
        "line up 3.7° right",
        "dynamic loft",
        "Assumed",
        "lightning",
        "qualified coach",
    ):
        assert words in said


def test_a_strip_says_what_to_do(plans: list[PlanFile]) -> None:
    said = [
        text.get_text()
        for figure in pages(pocket_pages, plans[:1], metric=False)
        for text, _ in texts(figure)
    ]
    for tee in plans[0].tees:
        assert str(tee.hole) in said
        assert tee.chosen().label in said
    whole = " ".join(said)
    for tee in plans[0].tees:
        assert tee.chosen().sight.text() in whole
        rival = tee.held_against()
        assert rival is None or f"{rival.label} " in whole
        assert rival is None or mark_of(tee) in said
        assert mark_of(tee).startswith(tee.choice.sure.removeprefix("a "))
    pond = next(r for t in plans[0].tees if t.hole == 12 for r in t.chosen().in_the_way if r.way == "clear")
    assert f"carry {pond.far_yd:.0f}: penalty area" in whole
    assert "Rule 4.3a" in whole
    assert "lightning" in whole


def test_a_hole_is_true_to_scale(plans: list[PlanFile]) -> None:
    for figure in pages(pocket_pages, plans[:1], metric=False):
        for ax in figure.axes:
            (left, bottom), (right, top) = ax.transData.transform([(0, 0), (100, 100)])
            assert right - left == pytest.approx(top - bottom, rel=1e-3)


def test_the_strikes_differ_by_shape(plans: list[PlanFile]) -> None:
    """In grey a colour says nothing."""
    from holesim.pictures.hole_picture import styles  # noqa: PLC0415

    chosen = {tee.chosen().label: tee.chosen() for tee in plans[0].tees if tee.chosen().club == "driver"}
    assert len({styles([strike])[0][1] for strike in chosen.values()}) == len(chosen) > 1


def test_the_command_makes_the_same_bytes(
    demo_course: Course, amateur: Player, run: Run, tmp_path: Path
) -> None:
    path = tmp_path / "plan.json"
    path.write_text(
        make_plan(demo_course, amateur, RoundOptions(draws=256), holes=[6]).to_json(), encoding="utf-8"
    )
    for style in ("pocket", "coach"):
        for name in ("one.pdf", "two.pdf"):
            code, said, err = run("card", str(path), "--style", style, "--out", str(tmp_path / name))
            assert (code, said) == (0, ""), err
        assert (tmp_path / "one.pdf").read_bytes() == (tmp_path / "two.pdf").read_bytes()


def test_what_tipping_found_stands_on_the_sheet_and_the_page(
    demo_course: Course, amateur: Player, run: Run, tmp_path: Path
) -> None:
    path, found = tmp_path / "plan.json", tmp_path / "tipping.json"
    path.write_text(
        make_plan(demo_course, amateur, RoundOptions(draws=256), holes=[4]).to_json(), encoding="utf-8"
    )
    case = find_break_even(demo_course, amateur, "firmness", RoundOptions(draws=256), hole=4)
    found.write_text(json_text(break_even_dict(case)), encoding="utf-8")
    said = f"hole 4, back tee, {case.scale.words}, calm: {break_even_sentence(case, case.curves[0])}"
    (plan,) = load_plans(path)[0]
    (first, *_) = coach_pages(plan, [load_break_even(found, plan)], metric=False)
    assert said in " ".join(t.get_text() for t in first.findobj(Text) if isinstance(t, Text))
    how = ("card", str(path), "--tipping", str(found))
    code, _, err = run(*how, "--style", "page", "--out", str(tmp_path / "plan.html"))
    assert code == 0, err
    assert escape(said[1:]) in (tmp_path / "plan.html").read_text(encoding="utf-8")
    for style, content, message in (
        ("pocket", found.read_text(encoding="utf-8"), "has no place on a pocket card"),
        ("coach", "{", "tipping.json: is no tipping file"),
        ("coach", json_text(break_even_dict(case) | {"inputs": {"a": "b"}}), "another course or player"),
    ):
        found.write_text(content, encoding="utf-8")
        code, _, err = run(*how, "--style", style, "--out", str(tmp_path / "card.pdf"))
        assert code == 2
        assert message in err
        assert err.count("\n") == 1


def test_a_broken_plan_is_one_line_and_leaves_the_card_alone(run: Run, tmp_path: Path) -> None:
    plan, card = tmp_path / "plan.json", tmp_path / "card.pdf"
    card.write_text("mine")
    for text in ("{", json.dumps({"schema": 2}), "[]"):
        plan.write_text(text)
        code, _, err = run("card", str(plan), "--style", "pocket", "--out", str(card))
        assert code == 2
        assert err.count("\n") == 1
        assert "plan.json" in err
    assert card.read_text() == "mine"
