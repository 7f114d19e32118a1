"""`holesim card`: the same bytes each time, break-even files, and broken plans."""

import json
from html import escape
from pathlib import Path

from matplotlib.text import Text

from holesim.common.safe_files import json_text
from holesim.course.course import Course
from holesim.handouts.coach_sheet import coach_pages
from holesim.plan.plan import make_plan
from holesim.plan.plan_file import load_plans
from holesim.plan.round_options import RoundOptions
from holesim.player.player import Player
from holesim.reports.break_even_text import break_even_dict, break_even_sentence
from holesim.study.break_even import find_break_even
from holesim.study.break_even_file import load_break_even
from tests.conftest import Run
from tests.paper import check_paper


def test_the_command_makes_the_same_bytes(
    demo_course: Course, amateur: Player, run: Run, tmp_path: Path
) -> None:
    path = tmp_path / "plan.json"
    path.write_text(
        make_plan(demo_course, amateur, RoundOptions(draws=256, table=True), holes=[6]).to_json(),
        encoding="utf-8",
    )
    for style in ("pocket", "lesson", "coach"):
        for name in ("one.pdf", "two.pdf"):
            code, said, err = run("card", str(path), "--style", style, "--out", str(tmp_path / name))
            assert (code, said) == (0, ""), err
            assert ("then --practice practice.json" in err) is (style == "lesson")
        assert (tmp_path / "one.pdf").read_bytes() == (tmp_path / "two.pdf").read_bytes()
        check_paper(tmp_path / "one.pdf", "a4")
        letter = ("--paper", "letter", "--out", str(tmp_path / "letter.pdf"))
        assert run("card", str(path), "--style", style, *letter)[0] == 0
        check_paper(tmp_path / "letter.pdf", "letter")
    assert "'letter'" in run("card", str(path), "--style", "pocket", "--paper", "a3", "--out", "a3.pdf")[2]


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
    (_, second, *_) = coach_pages(plan, [load_break_even(found, plan)], metric=False)
    assert said in " ".join(t.get_text() for t in second.findobj(Text) if isinstance(t, Text))
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
