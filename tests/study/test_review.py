"""A round compared with its plan: honest chances, what choices were worth, and what is learnt."""

import json
import tomllib
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import stats

from holesim.data.examples import PLAYER, find
from holesim.plan.plan_tables import PlanFile
from holesim.reports.review_text import review_text
from holesim.shot.club_speeds import load_player, load_player_file
from holesim.study.review import Review, compare_round, update_player
from holesim.study.round_file import FINISHES, DriveResult, RoundFile
from holesim.units import DEGREE
from tests.conftest import Run

Floats = NDArray[np.float64]


def played(plan: PlanFile, rounds: int, rng: np.random.Generator) -> list[DriveResult]:
    """Return rounds drawn from what the plan itself says."""
    drives = []
    p = np.array(plan.probabilities)
    for _ in range(rounds):
        for tee in plan.tees:
            strike = tee.chosen()
            shares = np.array([getattr(strike, name) for name in FINISHES])
            at = []
            for quantiles in (strike.total_quantiles_yd, strike.side_quantiles_yd):
                assert quantiles is not None
                x = np.array(quantiles)
                below = x[0] - (x[1] - x[0]) * p[0] / (p[1] - p[0])
                above = x[-1] + (x[-1] - x[-2]) * (1 - p[-1]) / (p[-1] - p[-2])
                at.append(float(np.interp(rng.random(), [0, *p, 1], [below, *x, above])))
            scores = np.array(strike.scores)
            score = 1 + rng.choice(len(scores), p=scores / scores.sum())
            lie = FINISHES[rng.choice(len(FINISHES), p=shares / shares.sum())]
            drives.append(DriveResult(2, tee, strike, lie, at[0], at[1], float(score)))
    return drives


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
    assert found.probabilities["total"].tolist() == pytest.approx([0.5, 0, 1])
    assert len(found.probabilities["side"]) == 0


def test_what_is_learnt_is_what_twice_the_drives_would_have_said() -> None:
    """Sides as wide as planned leave the spread and make it surer; wider ones widen it."""
    golfer = load_player_file(find(PLAYER))[0]
    even = (np.arange(40) + 0.5) / 40
    text = update_player(golfer, even)
    assert text is not None
    told = tomllib.loads(text)
    assert told["spread"]["face_deg"] == pytest.approx(1.6, rel=0.03)
    assert told["spread"]["se"]["face_deg"] == pytest.approx(1.6 / np.sqrt(2 * 48), rel=0.05)
    assert told["measured"]["drives"] == 40
    wide = update_player(golfer, stats.norm.cdf(1.5 * stats.norm.ppf(even)))
    assert wide is not None
    assert tomllib.loads(wide)["spread"]["path_deg"] > 1.3 * 1.7
    assert tomllib.loads(wide)["clubs"] == golfer.model_dump(exclude_unset=True)["clubs"]
    assert update_player(golfer, even[:4]) is None


def test_a_player_of_whom_little_is_known_learns_as_well(tmp_path: Path) -> None:
    """Who states a carry, and no spread: the club speed is solved for, the spread is the default for them."""
    file = tmp_path / "player.toml"
    file.write_text('name = "A"\nhand = "right"\nsex = "man"\nhandicap_index = 12\ncarry_yd = 220\n')
    golfer = load_player_file(file)[0]
    text = update_player(golfer, (np.arange(40) + 0.5) / 40)
    assert text is not None
    learnt = tmp_path / "learnt.toml"
    learnt.write_text(text)
    before, after = load_player(file), load_player(learnt)
    assert after.club_speed == before.club_speed
    assert after.driver("up").spread.face == pytest.approx(before.driver("up").spread.face, rel=0.03)
    assert after.driver("up").spread.se["face"] < 0.15 * after.driver("up").spread.face
    assert "face" in before.driver("up").spread.assumed


def strayed(plan: PlanFile, more: float) -> Review:
    """Return the review of a drive by a strike that costs so much more than the choice, by the plan."""
    tee = plan.tees[1]
    other = next(strike for strike in tee.strikes if strike is not tee.chosen())
    changed = other.model_copy(update={"strokes": tee.chosen().strokes + more})
    strikes = [changed if strike is other else strike for strike in tee.strikes]
    at = tee.model_copy(update={"strikes": strikes})
    return compared(plan, [DriveResult(2, at, changed, "fairway", np.nan, np.nan, np.nan)])


@pytest.mark.parametrize(("more", "lost"), [(0.019, 0.0), (0.021, 0.021), (-0.01, 0.0)])
def test_a_strike_that_costs_hardly_more_than_the_choice_loses_nothing(
    plan: PlanFile, more: float, lost: float
) -> None:
    """A plan keeps a usual strike within 0.02 strokes, so a golfer may as well."""
    cost = strayed(plan, more).differences[1]
    assert cost.name.startswith("other strikes than planned")
    assert cost.strokes == pytest.approx(lost, abs=1e-9)
    assert cost.holes == (lost > 0)


def test_what_choices_saved_is_as_sure_as_the_plan_has_it(plan: PlanFile) -> None:
    tee = plan.tees[1]
    rival = tee.choice_rival()
    assert rival is not None
    assert rival.over_choice is not None
    drives = [DriveResult(2, tee, tee.chosen(), "fairway", np.nan, np.nan, np.nan)] * 2
    saved = compared(plan, drives).differences[0]
    assert saved.strokes == pytest.approx(2 * rival.over_choice.loss, abs=1e-6)
    assert saved.high - saved.low == pytest.approx(2 * (rival.over_choice.high - rival.over_choice.low))


def test_the_command_writes_what_it_found(plan_path: Path, plan: PlanFile, run: Run, tmp_path: Path) -> None:
    rows = ["hole,strike,club,lie,total_yd,side_yd,score"]
    rows += [
        f"{d.tee.hole},{d.strike.strike},{d.strike.club},{d.lie},{d.total:.0f},{abs(d.side):.0f} "
        f"{'L' if d.side < 0 else 'R'},{d.score:.0f}"
        for d in played(plan, 3, np.random.default_rng(5))
    ]
    card = tmp_path / "round.csv"
    card.write_text("\n".join([*rows, "4,up,9-wood,rough,200,,5"]))
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
