"""A round compared with its plan: honest chances, plain sentences, and what the command writes."""

import json
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from scipy import stats

from holesim.data.examples import PLAYER, find
from holesim.plan.plan_tables import PlanFile
from holesim.reports.review_text import review_text
from holesim.shot.club_speeds import load_player
from holesim.study.review import Review, compare_round
from holesim.study.round_file import DriveResult, RoundFile
from holesim.units import DEGREE
from tests.conftest import Run
from tests.study.simulated_rounds import move, played


def compared(plan: PlanFile, drives: list[DriveResult]) -> Review:
    return compare_round(RoundFile(tuple(drives)), plan, inputs={})


def test_a_plan_that_is_right_is_found_so(plan: PlanFile) -> None:
    """Chances of rounds drawn from the plan are even, or, of counts, err to the safe side."""
    rng = np.random.default_rng(2)
    found = [compared(plan, played(plan, 5, rng)) for _ in range(60)]
    for name in ("total", "side"):
        assert stats.kstest([r.evenness[name] for r in found], "uniform").pvalue > 0.01
    scores = np.array([[score.chance for score in r.scores] for r in found])
    assert (scores < 0.05).mean() < 0.08
    counts = np.array([[count.chance for count in r.counts] for r in found])
    assert (counts < 0.05).mean() < 0.08
    inside = np.mean([[c.low <= c.observed <= c.high for c in r.counts] for r in found])
    assert inside > 0.93
    cards = [r.differences[2] for r in found]
    assert {card.name for card in cards} == {"score card, more than expected"}
    spans = [card.low <= 0 <= card.high for card in cards]
    assert np.mean(spans) == pytest.approx(0.95, abs=0.09)


def test_a_plan_that_promises_too_many_fairways_is_found_out(plan: PlanFile) -> None:
    rng = np.random.default_rng(3)
    drives = played(plan, 40, rng)
    worse = [replace(d, lie="rough") if d.lie == "fairway" and rng.random() < 0.35 else d for d in drives]
    found = compared(plan, worse)
    fairway = next(count for count in found.counts if count.name == "fairway or green")
    assert fairway.observed < fairway.low
    assert fairway.chance < 0.01
    assert min(score.chance for score in found.scores) < 0.05
    assert "off: would happen" in review_text(found)


def test_a_drive_s_probability_is_the_share_of_planned_ones_below(plan: PlanFile) -> None:
    tee = plan.tees[0]
    strike = tee.chosen()
    assert strike.total_quantiles_yd is not None
    middle = strike.total_quantiles_yd[plan.probabilities.index(0.5)]
    drive = DriveResult(2, tee, strike, "fairway", middle, np.nan, np.nan)
    drives = [drive, replace(drive, total=5.0), replace(drive, total=440.0), replace(drive, lie="out")]
    found = compared(plan, drives)
    assert found.probabilities["total"].tolist() == pytest.approx([0.5, 0, 1], abs=1e-4)
    assert len(found.probabilities["side"]) == 0


def test_a_shift_is_told_as_a_shift(plan: PlanFile) -> None:
    """And practised first; were it the other way, or were drives wider instead, the words would say so."""

    def text(drives: list[DriveResult], *, metric: bool = False) -> str:
        return " ".join(review_text(compared(plan, drives), metric=metric).split())

    drives = played(plan, 5, np.random.default_rng(5))
    right = text(move(drives, right=25))
    assert "right of where you aimed on average" in right
    assert "; as wide as planned" in right
    assert "What to practise first: direction. Bring the middle of the drives 32 yards left." in right
    left = text(move(drives, right=-30), metric=True)
    assert "metres left of where you aimed on average" in left
    wide = text(move(drives, wider=2.5, right=-17))
    assert "wider than planned: " in wide
    assert "What to practise first: a face and path that vary less." in wide
    few = text(drives[:4])
    assert "Direction: too few drives with the driver to tell." in few


def test_a_coach_reads_no_scoring_rule(plan: PlanFile) -> None:
    found = compared(plan, played(plan, 3, np.random.default_rng(6)))
    text = review_text(found)
    assert not [name for name in ("Brier", "logarithm", "ranked", "probability") if name in text]
    assert {score.name.split(",")[0] for score in found.scores} >= {"Brier", "logarithmic"}


def test_the_command_writes_what_it_found(plan_path: Path, plan: PlanFile, run: Run, tmp_path: Path) -> None:
    rows = ["date,hole,strike,club,lie,total_yd,side_yd,score"]
    rows += [
        f"2026-05-30,{d.tee.hole},{d.strike.strike},{d.strike.club},{d.lie},{d.total:.0f},{abs(d.side):.0f} "
        f"{'L' if d.side < 0 else 'R'},{d.score:.0f}"
        for d in played(plan, 3, np.random.default_rng(5))
    ]
    card = tmp_path / "round.csv"
    card.write_text("\n".join([*rows, ",4,up,9-wood,rough,200,,5"]))
    words = [
        "review",
        str(plan_path),
        str(card),
        "--player",
        str(find(PLAYER)),
        "--out",
        str(tmp_path / "found"),
    ]
    code, said, heard = run(*words)
    assert code == 0, heard
    assert "not counted: line 11: 9-wood was not planned on hole 4" in said
    assert max(map(len, said.splitlines())) <= 110
    made = {path.name: path.read_bytes() for path in (tmp_path / "found").iterdir()}
    assert set(made) == {"review.json", "review.png", "player.toml"}
    content = json.loads(made["review.json"])
    assert content["drives"] == 9
    assert content["date"] == "2026-05-30"
    for name, key in (("bias", "yd"), ("spread", "over_planned")):
        for found in (content[name]["direction"], content[name]["length"]):
            assert found["drives"] >= 5
            assert found[key]["low"] < found[key]["value"] < found[key]["high"]
    learnt = load_player(tmp_path / "found" / "player.toml")
    assert learnt.driver("up").spread.se["face"] / DEGREE > 0
    assert run(*words)[0] == 0
    assert {path.name: path.read_bytes() for path in (tmp_path / "found").iterdir()} == made


@pytest.mark.parametrize(
    ("damage", "said"),
    [
        (lambda text: text[: len(text) // 2], "is not a plan file (JSON)"),
        (lambda text: f"[{text}, {text}]", "several winds"),
        (lambda text: text.replace('"schema": ', '"schema": 9'), "schema"),
        (lambda text: text.replace('"fairway": 0', '"fairway": 7', 1), "fairway"),
        (lambda text: text.replace('"strokes_se"', '"strokes_sd"', 1), "strokes_se"),
        (lambda _: "{}", "schema"),
    ],
)
def test_a_damaged_plan_is_one_line(
    damage: Callable[[str], str], said: str, plan_path: Path, run: Run, tmp_path: Path
) -> None:
    broken, card = tmp_path / "plan.json", tmp_path / "round.csv"
    broken.write_text(damage(plan_path.read_text()))
    card.write_text("hole,lie\n4,rough\n")
    code, out, heard = run("review", str(broken), str(card))
    assert (code, out) == (2, "")
    assert said in heard
    assert heard.count("\n") == 1


def test_a_player_file_is_never_overwritten_by_what_it_learnt(
    plan_path: Path, run: Run, tmp_path: Path
) -> None:
    player, card = tmp_path / "player.toml", tmp_path / "round.csv"
    player.write_text(find(PLAYER).read_text())
    card.write_text("hole,side_yd\n" + "4,12\n" * 6)
    before = player.read_text()
    code, said, heard = run(
        "review", str(plan_path), str(card), "--player", str(player), "--out", str(tmp_path)
    )
    assert (code, said) == (2, "")
    assert "is what is read" in heard
    assert heard.count("\n") == 1
    assert player.read_text() == before


def test_a_hundred_thousand_drives_take_little_memory(
    plan_path: Path, plan: PlanFile, tmp_path: Path
) -> None:
    """In a process of its own, as the peak is that of a process."""
    rows = [
        f"{d.tee.hole},{d.lie},{d.total:.0f},{d.side:.0f},{d.score:.0f}"
        for d in played(plan, 100, np.random.default_rng(7))
    ]
    card = tmp_path / "round.csv"
    card.write_text("\n".join(["hole,lie,total_yd,side_yd,score", *(rows * 334)[:100_000]]))
    code = (
        "import sys\n"
        "from pathlib import Path\n"
        "from holesim.app.cli.main import main\n"
        "sys.argv = ['holesim', 'review', *sys.argv[1:]]\n"
        "try:\n"
        "    main()\n"
        "except SystemExit as end:\n"
        "    assert not end.code\n"
        "status = Path('/proc/self/status').read_text()\n"  # what getrusage tells is the parent's, if larger
        "print(int(status.split('VmHWM:')[1].split()[0]) // 1000, file=sys.stderr)\n"
    )
    words = [sys.executable, "-c", code, str(plan_path), str(card), "--out", str(tmp_path / "found")]
    done = subprocess.run(words, capture_output=True, text=True, check=False)  # noqa: S603
    assert done.returncode == 0, done.stderr
    assert int(done.stderr.split()[-1]) <= 500  # MB
