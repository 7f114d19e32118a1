"""The lesson: one page for any golfer, what it says, and what is refused."""

import json
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from io import BytesIO
from pathlib import Path
from typing import Literal

import numpy as np
import pytest
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from PIL import Image

from holesim.common.safe_files import json_text
from holesim.course.course import Course
from holesim.handouts.lesson import lesson_page, write_lesson
from holesim.handouts.lesson_head import LessonHead
from holesim.handouts.lesson_words import MEASURES, day_texts, is_off, number_row, policy_rows, row_name
from holesim.handouts.plan_folder import plans_json
from holesim.handouts.setup_picture import _BALL_INSIDE
from holesim.pictures.paper import PAGE
from holesim.plan.plan import make_plan
from holesim.plan.plan_file import load_plans
from holesim.plan.plan_tables import PlanFile
from holesim.plan.round_options import RoundOptions
from holesim.player.make_player import typical_player
from holesim.player.player import Player
from holesim.player.setup import _STANCE
from holesim.study.practice import find_practice_worth
from holesim.study.practice_file import ChangeFile, PracticeFile, load_practice
from holesim.units import DEGREE, MPH
from tests.conftest import Run
from tests.paper import check_page, drawn_pages, said, shortened, texts

LONG = "Bartholomew Featherstonehaugh-Cholmondeley the Younger of Upper Vantle Skerry " * 2


def practice_of(plan: PlanFile, saved: list[tuple[str, float]]) -> PracticeFile:
    changes = [
        ChangeFile(
            name=name,
            saved=value,
            low=value - 0.1,
            high=value + 0.1,
            penalties=0.0,
            fairways=value,
            distance=0.0,
        )
        for name, value in saved
    ]
    content = {"schema": 2, "inputs": plan.inputs, "holes": 18, "changes": changes}
    return PracticeFile.model_validate(content)


def page(plan: PlanFile, practice: PracticeFile | None = None, head: LessonHead | None = None) -> Figure:
    (figure,) = drawn_pages(iter([lesson_page(plan, practice, head or LessonHead(), metric=False)]))
    return figure


def png(wide: int, tall: int) -> bytes:
    written = BytesIO()
    Image.new("RGB", (wide, tall), "#884411").save(written, "PNG")
    return written.getvalue()


@pytest.fixture(scope="module")
def odd(demo_course: Course, amateur: Player, tmp_path_factory: pytest.TempPathFactory) -> list[PlanFile]:
    """A dozen golfers: long names, four sets of tees, one hole alone, one strike or three, one all day."""
    quick = RoundOptions(draws=256, table=True)
    long_tees = tuple(
        replace(hole, tees=tuple(replace(tee, name=f"{tee.name} {LONG}") for tee in hole.tees))
        for hole in demo_course.holes
    )
    wide = replace(demo_course, name=LONG, holes=long_tees)
    kinds: list[tuple[float, float, Literal["man", "woman"]]] = [
        (54.0, 70, "man"), (36.0, 62, "woman"), (24.0, 79, "woman"), (12.0, 96, "man"), (0.0, 120, "man"),
    ]  # fmt: skip
    golfers = [typical_player("Ana Reith", sex, h, mph * MPH) for h, mph, sex in kinds]
    made = [make_plan(demo_course, player, quick, holes=range(1, 5)) for player in golfers]
    named = [replace(player, name=LONG) for player in golfers[:2]]
    tees = [tee.name for tee in long_tees[0].tees]
    made += [make_plan(wide, player, quick, holes=[1, 2, 4], tees=tees) for player in named]
    up, down = amateur.driver("up"), amateur.driver("down")
    level = replace(up, name="level", attack=0.5 * DEGREE)
    others = tuple(s for s in amateur.strikes if s.club != "driver")
    for strikes, choice in (((up,), False), ((up, level, down), True), ((up, down), False)):
        player = replace(amateur, strikes=(*strikes, *others), can_choose=choice, hand="left", name=LONG)
        made.append(make_plan(wide, player, quick.changed(wind_mph=25, wind_from_deg=200), holes=[4, 12]))
    made.append(make_plan(demo_course, amateur, quick.changed(goal="par"), holes=[3]))
    made.append(make_plan(demo_course, replace(amateur, assumed=(LONG * 9,)), quick, holes=[4]))
    path = tmp_path_factory.mktemp("odd") / "plan.json"
    plans = []
    for plan in made:
        path.write_text(plan.to_json(), encoding="utf-8")
        plans += load_plans(path)[0]
    return plans


HEAD = LessonHead(by=LONG, logo=png(900, 200), notes=f"{LONG}\n" * 20, day=date(2026, 5, 12))


@pytest.mark.parametrize(("head", "practised"), [(LessonHead(), False), (HEAD, True)])  # emptiest and fullest
def test_one_page_is_one_page_for_a_dozen_odd_golfers(
    odd: list[PlanFile], head: LessonHead, *, practised: bool
) -> None:
    assert len(odd) == 12
    for plan in odd:
        practice = practice_of(plan, [(f"change {k}", 0.5 - k / 10) for k in range(8)]) if practised else None
        figure = page(plan, practice, head)
        check_page(figure)
        boxes = texts(figure)
        # No third of the page is empty: its words start and end near its edges, and leave no wide gap.
        heights = np.sort([y for _, box in boxes for y in (box.y0, box.y1)])
        assert heights[0] < 120
        assert heights[-1] > PAGE[1] - 62
        assert np.diff(heights).max() < PAGE[1] / 6


def test_what_is_left_out_is_said(plans: list[PlanFile]) -> None:
    text = said(page(plans[0], None, replace(HEAD, by="Tova Lind")))
    assert "Left out so that this stays one page" in text
    assert "Left out" not in said(page(plans[0]))
    assert not shortened(page(plans[0]))


def test_three_sentences_and_the_numbers_stand_on_it(plans: list[PlanFile]) -> None:
    plan = plans[0]
    practice = practice_of(plan, [("a fifth less face error", 0.05), ("3 mph more club speed", 0.4)])
    text = said(
        page(plan, practice, LessonHead(by="Tova Lind", notes="Keep the tee in.", day=date(2026, 5, 12)))
    )
    assert "A lesson on the driver with Tova Lind, 12 May 2026" in text
    assert "Keep the tee in." in text
    up = next(s for s in plan.driving if s.strike == "up").numbers
    assert f"to meet the ball {up['attack_deg'].mean:.1f}° up" in text
    assert f"{plan.totals['back']['this plan']:.1f} strokes on average over 18 holes by this plan" in text
    assert "3 mph more club speed, which saves 0.40 strokes a round (0.30 to 0.50" in text
    for strike in plan.driving:
        for key in MEASURES:
            row = number_row(key, strike.numbers[key], metric=False)
            assert row_name(key, metric=False) in text
            assert all(words in text for words in row[:3])
    assert all(row.words in text and row.strokes in text for row in policy_rows(plan, "back"))
    for words in ("Setting up", "surely pays", "not sure", "qualified coach", "Assumed of you"):
        assert words in text
    assert "_" not in text


def test_without_practice_it_says_so_and_shows_a_pupil_no_command(plans: list[PlanFile]) -> None:
    text = said(page(plans[0]))
    assert "What practice would pay has not been worked out." in text
    assert "--" not in text


def test_a_change_that_does_not_surely_pay_comes_after_those_that_do(plans: list[PlanFile]) -> None:
    practice = practice_of(plans[0], [("a", 0.09), ("b", 0.3), ("c", -0.5), ("d", 0.2)])
    assert [change.name for change in practice.best_first()] == ["b", "d", "a", "c"]
    never = practice_of(plans[0], [("a", 0.09)])
    assert "no change of the swing that was weighed surely pays" in said(page(plans[0], never))


def test_only_what_is_surely_not_wanted_is_marked(plans: list[PlanFile]) -> None:
    numbers = plans[0].driving[0].numbers
    face = numbers["face_deg"].model_copy(update={"mean": 2.0, "low": 1.2, "high": 2.8})
    assert is_off(face)
    assert not is_off(face.model_copy(update={"low": 0.9}))
    carry = numbers["carry_yd"].model_copy(update={"low": 500.0, "mean": 510.0, "high": 520.0})
    assert not is_off(carry)  # more is never worse
    assert not is_off(numbers["attack_deg"].model_copy(update={"low": 9.0, "mean": 9.0, "high": 9.0}))
    strike = plans[0].driving[0].model_copy(update={"numbers": numbers | {"face_deg": face}})
    marked = plans[0].model_copy(update={"driving": [strike, *plans[0].driving[1:]]})
    before, after = (said(page(plan)).count("●") for plan in (plans[0], marked))
    assert after == before + 1
    row = number_row("face_deg", face, metric=False)
    assert row[:3] == ("2.0° right", "1.2 to 2.8 right", "within 1°")
    crossing = number_row("face_deg", face.model_copy(update={"low": -0.4}), metric=False)
    assert crossing.interval == "0.4 left to 2.8 right"


def test_the_rule_of_thumb_is_overruled_in_words(plans: list[PlanFile], odd: list[PlanFile]) -> None:
    fast = " ".join(day_texts(plans[0], metric=False))
    assert "above about 100 mph of club speed choose by the hole" in fast
    slow = plans[0].model_copy(update={"golfer": plans[0].golfer.model_copy(update={"club_speed_mph": 92.0})})
    down = [t.hole for t in plans[0].tees if t.chosen().label == "down"]
    assert down
    text = " ".join(day_texts(slow, metric=False))
    assert f"but this plan hits down on {', '.join(map(str, down))}, because there down is" in text
    assert "common practice, no source" in text
    kept = [plan for plan in odd if plan.day and len(plan.driving) > 1]
    assert kept
    for plan in kept:
        text = " ".join(day_texts(plan, metric=False))
        assert "choosing by the hole would save" in text
        assert "-0.00" not in text


def test_totals_come_best_first_and_say_what_they_are(odd: list[PlanFile]) -> None:
    for plan in odd:
        for tee in plan.totals:
            rows = policy_rows(plan, tee)
            assert [float(row.strokes) for row in rows] == sorted(float(row.strokes) for row in rows)
            mine = next(row for row in rows if row.words.startswith("this plan"))
            assert ("with your habit" in mine.words) == bool(plan.day)


def test_every_ball_position_can_be_drawn() -> None:
    assert {words for _, words in _STANCE} == set(_BALL_INSIDE)


def luminance(colour: str) -> float:
    r, g, b = (int(colour[k : k + 2], 16) for k in (1, 3, 5))
    return (0.299 * r + 0.587 * g + 0.114 * b) / 255


def test_strikes_are_told_apart_in_grey(plans: list[PlanFile]) -> None:
    """In grey a colour says nothing: each strike has a marker of its own, and its lines are dark enough."""
    drawn = [line for line in page(plans[0]).findobj(Line2D) if isinstance(line, Line2D)]
    colours = {str(line.get_marker()): str(line.get_color()) for line in drawn}
    colours = {marker: colour for marker, colour in colours.items() if marker in {"^", "v", "s"}}
    assert set(colours) == {"^", "v"}
    assert all(luminance(colour) < 0.65 for colour in colours.values())


def test_the_same_input_gives_the_same_bytes(plans: list[PlanFile], tmp_path: Path) -> None:
    practice = practice_of(plans[0], [("a", 0.3)])
    for name in ("once.pdf", "again.pdf"):
        write_lesson(plans, tmp_path / name, practice=practice, head=HEAD)
    once = (tmp_path / "once.pdf").read_bytes()
    assert once == (tmp_path / "again.pdf").read_bytes()
    assert once.count(b"/Type /Page ") == len(plans)


@pytest.fixture
def written(demo_course: Course, amateur: Player, tmp_path: Path) -> Path:
    path = tmp_path / "plan.json"
    plan = make_plan(demo_course, amateur, RoundOptions(draws=256, table=True), holes=[4])
    path.write_text(plans_json([plan]), encoding="utf-8")
    return path


def test_the_command_takes_practice_and_refuses_what_does_not_belong(
    demo_course: Course, amateur: Player, written: Path, run: Run, tmp_path: Path
) -> None:
    found = find_practice_worth(demo_course, amateur, RoundOptions(draws=256, table=True), holes=[4])
    path, out = tmp_path / "practice.json", tmp_path / "lesson.pdf"
    path.write_text(json_text(found.to_dict()), encoding="utf-8")
    how = ("card", str(written), "--style", "lesson", "--out", str(out), "--practice", str(path))
    code, heard, err = run(*how)
    assert (code, heard) == (0, ""), err
    (plan,) = load_plans(written)[0]
    read = load_practice(path, plan)
    assert {change.name for change in read.changes} == {saving.name for saving in found.savings}
    assert PracticeFile.model_validate(found.to_dict()) == read
    for content, message in (
        ("{", "practice.json: is not a practice file"),
        (written.read_text(encoding="utf-8"), "practice.json: is not a practice file"),
        (json.dumps(found.to_dict() | {"schema": 1}), "practice.json: schema"),
        (json.dumps(found.to_dict() | {"changes": []}), "practice.json: changes"),
        (json.dumps(found.to_dict() | {"inputs": {"a": "b"}}), "another course or player than the plan"),
    ):
        path.write_text(content, encoding="utf-8")
        refused(run, how, message)
    for style in ("pocket", "page"):
        refused(run, ("card", str(written), "--style", style, "--out", str(out), *how[6:]), "has no place")
        mine = ("card", str(written), "--style", style, "--out", str(out), "--by", "Tova Lind")
        refused(run, mine, "have no place")


def refused(run: Run, how: tuple[str, ...], message: str) -> None:
    code, heard, err = run(*how)
    assert (code, heard) == (2, "")
    assert message in err
    assert err.count("\n") == 1


def bad_files() -> Iterator[tuple[str, bytes, str]]:
    yield "--logo", b"not a picture", "is not a picture that can be read"
    yield "--logo", png(40, 40)[:60], "is not a picture that can be read"
    yield "--logo", b"GIF89a\x01\x00\x01\x00\x00\x00\x00;", "is not a picture that can be read"
    yield "--logo", png(8000, 2001), "has more than 16 million pixels"
    yield "--logo", png(20, 20) + b"\0" * 5_000_000, "is larger than 5 MB"
    yield "--notes", b"\xff\xfe\x00", "is not UTF-8 text"
    yield "--notes", b"a\0b", "is not plain text"
    yield "--notes", b"x" * 10_001, "is larger than 0.01 MB"


@pytest.mark.parametrize(("option", "content", "message"), list(bad_files()))
def test_a_bad_mark_or_note_is_one_line(
    written: Path, run: Run, tmp_path: Path, option: str, content: bytes, message: str
) -> None:
    given = tmp_path / "given"
    given.write_bytes(content)
    how = ("card", str(written), "--style", "lesson", "--out", str(tmp_path / "lesson.pdf"))
    refused(run, (*how, option, str(given)), message)
    refused(run, (*how, option, str(tmp_path / "none")), "no such file")


def test_a_day_that_is_none_is_one_line(written: Path, run: Run, tmp_path: Path) -> None:
    how = ("card", str(written), "--style", "lesson", "--out", str(tmp_path / "lesson.pdf"))
    refused(run, (*how, "--date", "12 May"), "is not a date; write it as 2026-05-12")
    refused(run, (*how, "--by", "x" * 201), "is longer than 200 letters")
