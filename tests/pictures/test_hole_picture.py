"""Pictures and card: what is on them, and that names from files stay text."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.text import Text

from holesim.common.density import densest
from holesim.common.text_format import sentence
from holesim.course.course import Course
from holesim.course.ground_map import map_ground
from holesim.handouts.course_card import write_card
from holesim.pictures.hole_picture import draw_hole
from holesim.pictures.next_shot_picture import draw_next_shot
from holesim.pictures.plan_pictures import write_pictures
from holesim.plan.estimate import sure_text
from holesim.plan.plan import Plan, make_plan
from holesim.plan.round_options import RoundOptions
from holesim.player.player import Player
from holesim.shot.relief import Lie
from holesim.units import YARD

HOSTILE = r"$\alpha$ <b>Æ</b> ../../x \frac{1}{0} of a name that goes on for longer than any line"


@pytest.fixture(scope="module")
def plan(demo_course: Course, amateur: Player) -> Plan:
    return make_plan(demo_course, amateur, RoundOptions(draws=256), holes=[3, 4])


@pytest.fixture(scope="module")
def hostile(plan: Plan) -> Plan:
    tees = tuple(replace(tee, tee=replace(tee.tee, name=HOSTILE)) for tee in plan.tees)
    return replace(
        plan,
        course=replace(plan.course, name=HOSTILE),
        player=replace(plan.player, name=HOSTILE),
        tees=tees,
        totals={HOSTILE: plan.totals["back"]},
    )


def words(figure: Figure) -> list[Text]:
    return [text for text in figure.findobj(Text) if text.get_text()]


def paper() -> tuple[Figure, Axes]:
    figure = Figure(figsize=(7.0, 9.5), dpi=150)
    return figure, figure.add_axes((0.035, 0.025, 0.58, 0.95))


def drawn(plan: Plan, *, metric: bool = False) -> Figure:
    figure, ax = paper()
    draw_hole(plan.tees[1], plan.course, ax=ax, metric=metric)
    return figure


def drawn_next(plan: Plan, *, metric: bool = False) -> Figure:
    figure, ax = paper()
    draw_next_shot(plan.tees[1], plan.course, map_ground(plan.course), ax=ax, metric=metric)
    return figure


@pytest.mark.parametrize("metric", [False, True])
def test_the_picture_says_what_to_do(plan: Plan, *, metric: bool) -> None:
    figure = drawn(plan, metric=metric)
    said = " ".join(text.get_text() for text in words(figure))
    tee = plan.tees[1]
    assert "Hole 4" in said
    assert f"{tee.choice.strokes:.2f} ±" in said
    assert sentence(sure_text(tee.chance))[:-1] in said
    assert tee.doubt
    assert sentence(tee.doubt) in said
    assert tee.rival is not None
    for strike in (tee.choice, tee.rival):
        assert strike.label in said
        assert strike.mark.text(metric=metric) in said
    assert ("389 m" if metric else "425 yd") in said


@pytest.mark.parametrize("metric", [False, True])
def test_the_picture_says_what_is_next(plan: Plan, *, metric: bool) -> None:
    said = " ".join(text.get_text() for text in words(drawn_next(plan, metric=metric)))
    tee = plan.tees[1]
    assert tee.rival is not None
    for strike in (tee.choice, tee.rival):
        shot = strike.then
        assert shot is not None
        away, length = (np.hypot(x - shot.x, y - shot.y) for x, y in (tee.hole.pin, shot.target))
        unit, scale = ("m", 1.0) if metric else ("yd", YARD)
        assert f"After {strike.label}" in said
        assert f"{away / scale:.0f} {unit} out, {shot.strokes:.2f} to go" in said
        assert f"Next: {length / scale:.0f} {unit}" in said
    assert {"3.0", "3.5", "4.0"} <= {text.get_text() for text in words(drawn_next(plan))}


def test_a_next_shot_is_the_one_that_was_found(plan: Plan) -> None:
    tee = plan.tees[1]
    assert tee.expected is not None
    for strike in tee.strikes:
        shot = strike.then
        assert shot is not None
        # It is played from where such a drive lies, as what remains there says.
        drives = strike.drives
        assert np.hypot(drives.x - shot.x, drives.y - shot.y).min() == 0
        place = np.array([shot.x]), np.array([shot.y])
        assert shot.strokes == pytest.approx(float(tee.expected.at(shot.lie, *place)[0]))
        # From a par 4's fairway, in reach, it is for the green.
        away = np.hypot(shot.x - tee.hole.pin[0], shot.y - tee.hole.pin[1])
        if shot.lie == Lie.FAIRWAY and away < 150:
            assert np.hypot(shot.target[0] - tee.hole.pin[0], shot.target[1] - tee.hole.pin[1]) < 15
    assert tee.expected.next_shot(Lie.FAIRWAY, 10_000.0, 0.0) is None


def test_a_plan_by_table_knows_of_no_next_shots(demo_course: Course, amateur: Player) -> None:
    conditions = RoundOptions(table=True)
    by_table = make_plan(demo_course, amateur, conditions.changed(draws=256), holes=[4])
    with pytest.raises(ValueError, match="by a table"):
        draw_next_shot(by_table.tees[0], demo_course, map_ground(demo_course))


def test_words_stay_on_the_paper_and_apart(plan: Plan, hostile: Plan) -> None:
    for figure in (draw(given) for given in (plan, hostile) for draw in (drawn, drawn_next)):
        figure.draw_without_rendering()
        boxes = [text.get_window_extent() for text in words(figure)]
        page = figure.bbox
        for box in boxes:
            assert page.x0 <= box.x0 < box.x1 <= page.x1
            assert page.y0 <= box.y0 < box.y1 <= page.y1
        for i, one in enumerate(boxes):
            for other in boxes[:i]:
                # A text's box includes room for descenders, so neighbours may share a hair.
                wide = min(one.x1, other.x1) - max(one.x0, other.x0)
                tall = min(one.y1, other.y1) - max(one.y0, other.y0)
                assert wide < 2 or tall < 2 * 150 / 72


def test_outlines_hold_the_share_they_say() -> None:
    points = np.random.default_rng(2).normal(size=(4096, 2)) * (15, 8)
    across, along, density, levels = densest(points, (0.5, 0.9))
    # Against the ellipses of a bivariate normal: a share p lies inside r² = -2·ln(1 - p).
    for share, level in zip((0.5, 0.9), levels, strict=True):
        area = (density > level).sum() * (across[1] - across[0]) * (along[1] - along[0])
        assert area == pytest.approx(np.pi * 15 * 8 * -2 * np.log(1 - share), rel=0.12)


def test_files_are_safe_and_repeatable(hostile: Plan, tmp_path: Path) -> None:
    once, again = tmp_path / "once", tmp_path / "again"
    for folder in (once, again):
        folder.mkdir()
        names = [path.name for path in write_pictures(hostile, folder)]
        write_card(hostile, folder / "card.pdf")
        assert len(set(names)) == 4
        assert all(set(name) <= set("abcdefghijklmnopqrstuvwxyz0123456789-.") for name in names)
        assert sorted(path.name for path in folder.iterdir()) == sorted([*names, "card.pdf"])
    for path in once.iterdir():
        assert path.read_bytes() == (again / path.name).read_bytes()
    assert (once / "card.pdf").read_bytes().count(b"/Type /Page ") == 1
