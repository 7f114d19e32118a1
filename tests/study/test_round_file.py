"""A round as it was recorded: what is read of it, and what each fault is called."""

from datetime import date
from pathlib import Path

import pytest

from holesim.plan.plan_tables import PlanFile
from holesim.study.round_file import load_round
from tests.conftest import Run


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("hole,lie\n4,farway\n", "line 2, lie: 'farway' is not a lie; did you mean fairway?"),
        ("hole,lie\n77,rough\n", "line 2, hole: '77' is not in the plan"),
        ("hole,scor\n4,5\n", "did you mean score?"),
        ("hole,score\n4,4.5\n", "line 2, score"),
        ("hole,date\n4,soon\n", "line 2, date: 'soon' is not a date; write it as 2026-05-31"),
        ("hole,side_yd\n4,far\n", "line 2, side_yd"),
        ("hole,tee\n4,blue\n", "line 2, tee"),
        ("hole,strike\n4,sideways\n", "line 2, strike"),
        ("lie\nrough\n", "has no column hole"),
        ("hole\n", "has no drives"),
        ("hole,club\n4,9-wood\n", "has no drive that was planned"),
    ],
)
def test_a_round_that_makes_no_sense_is_one_line(
    text: str, said: str, plan_path: Path, run: Run, tmp_path: Path
) -> None:
    card = tmp_path / "round.csv"
    card.write_text(text)
    code, out, heard = run("review", str(plan_path), str(card))
    assert (code, out) == (2, "")
    assert said in heard
    assert heard.count("\n") == 1


def test_a_round_is_read_with_what_the_plan_chose(plan: PlanFile, tmp_path: Path) -> None:
    card = tmp_path / "round.csv"
    card.write_text("hole,lie,side_yd\n4,heavy rough,7 L\n4,out,\n")
    found = load_round(card, plan)
    assert [d.strike.label for d in found.drives] == [plan.tees[1].chosen().label] * 2
    assert found.drives[0].side == -7
    assert found.drives[0].lie == "heavy_rough"
    assert found.unplanned == ()
    assert found.played_on is None
    card.write_text("hole,date\n4,2026-05-30\n4,\n9,2026-05-31\n")
    assert load_round(card, plan).played_on == date(2026, 5, 31)


def test_drives_that_the_plan_does_not_know_are_told_apart(plan: PlanFile, tmp_path: Path) -> None:
    card = tmp_path / "round.csv"
    card.write_text("hole,club,strike\n4,,\n4,9-wood,up\n4,driver,level\n4,9-wood,\n")
    found = load_round(card, plan)
    assert [drive.line for drive in found.drives] == [2]
    assert [str(drive) for drive in found.unplanned] == [
        "line 3: 9-wood was not planned on hole 4",
        "line 4: level was not planned on hole 4",
        "line 5: 9-wood was not planned on hole 4",
    ]
