"""A round against its plan: proper scores, honest chances, and what is learnt."""

import json
import tomllib
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import stats

from holesim.course.course import Course
from holesim.data.examples import PLAYER, find
from holesim.pictures.review_picture import draw_calibration, draw_levels
from holesim.plan.plan import make_plan
from holesim.plan.plan_file import PlanFile, load_plan
from holesim.plan.round_options import RoundOptions
from holesim.player.player import Player
from holesim.reports.review_text import review_text
from holesim.shot.club_speeds import load_player, load_player_file
from holesim.study.review import Review, _brier, _level, _ranked, counts_of, player_after, review
from holesim.study.round_file import FINISHES, PlayedDrive, load_round
from holesim.units import DEGREE
from tests.conftest import Run

Floats = NDArray[np.float64]


@pytest.fixture(scope="module")
def plan_path(demo_course: Course, amateur: Player, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("plan") / "plan.json"
    path.write_text(make_plan(demo_course, amateur, RoundOptions(draws=1024), holes=[1, 4, 9]).to_json())
    return path


@pytest.fixture(scope="module")
def plan(plan_path: Path) -> PlanFile:
    return load_plan(plan_path)[0]


def played(plan: PlanFile, rounds: int, rng: np.random.Generator) -> list[PlayedDrive]:
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
            drives.append(PlayedDrive(2, tee, strike, lie, at[0], at[1], float(score)))
    return drives


def held(plan: PlanFile, drives: list[PlayedDrive]) -> Review:
    return review(
        drives, (), plan.probabilities, course=plan.course, player=plan.player, inputs={}, draws=plan.draws
    )


def test_brier_and_ranked_probability_scores_of_worked_examples() -> None:
    """By hand: rain given 0.7, and none: 0.49 (Brier, Mon. Weather Rev. 78, 1950, for one of the outcomes).
    Three classes given 0.2, 0.5, 0.3 and the first came: (0.2-1)² + (0.7-1)² + 0 (Epstein, J. Appl. Meteorol.
    8, 1969, undivided)."""
    assert _brier(np.array([[0.7, 0.3]]), np.array([1])) == pytest.approx([0.49])
    assert _ranked(np.array([[0.2, 0.5, 0.3]]), np.array([0])) == pytest.approx([0.73])


@pytest.mark.parametrize("rule", [_brier, _ranked])
def test_the_scores_are_proper(rule: Callable[..., Floats]) -> None:
    """Who says what is true does best on average (Gneiting and Raftery, J. Am. Stat. Assoc. 102, 2007)."""
    true = np.array([0.6, 0.4]) if rule is _brier else np.array([0.5, 0.3, 0.2])
    outcomes = np.arange(len(true))

    def mean(said: Floats) -> float:
        return float(true @ rule(np.tile(said, (len(true), 1)), outcomes))

    rng = np.random.default_rng(1)
    assert all(mean(true) < mean(rng.dirichlet(np.ones(len(true)))) for _ in range(50))


def test_counts_of_equal_chances_are_binomial() -> None:
    assert counts_of(np.full(14, 0.6)) == pytest.approx(stats.binom.pmf(np.arange(15), 14, 0.6))


def test_a_plan_that_is_right_is_found_so(plan: PlanFile) -> None:
    """Chances of rounds drawn from the plan are even, or, of counts, err to the safe side."""
    rng = np.random.default_rng(2)
    found = [held(plan, played(plan, 5, rng)) for _ in range(60)]
    for name in ("total", "side"):
        assert stats.kstest([r.even[name] for r in found], "uniform").pvalue > 0.01
    scores = np.array([[score.chance for score in r.scores] for r in found])
    assert (scores < 0.05).mean() < 0.08
    counts = np.array([[count.chance for count in r.counts] for r in found])
    assert (counts < 0.05).mean() < 0.08
    inside = np.mean([[c.low <= c.observed <= c.high for c in r.counts] for r in found])
    assert inside > 0.93
    spans = [
        gain.low <= 0 <= gain.high for r in found for gain in r.gains if gain.name.endswith("was expected")
    ]
    assert np.mean(spans) == pytest.approx(0.95, abs=0.09)


def test_a_plan_that_promises_too_many_fairways_is_found_out(plan: PlanFile) -> None:
    rng = np.random.default_rng(3)
    drives = played(plan, 40, rng)
    worse = [replace(d, lie="rough") if d.lie == "fairway" and rng.random() < 0.35 else d for d in drives]
    found = held(plan, worse)
    fairway = next(count for count in found.counts if count.name == "fairway or green")
    assert fairway.observed < fairway.low
    assert fairway.chance < 0.01
    assert min(score.chance for score in found.scores) < 0.05
    assert "off: would happen" in review_text(found)


def test_levels_are_the_shares_below(plan: PlanFile) -> None:
    tee = plan.tees[0]
    strike = tee.chosen()
    assert strike.total_quantiles_yd is not None
    middle = strike.total_quantiles_yd[plan.probabilities.index(0.5)]
    drive = PlayedDrive(2, tee, strike, "fairway", middle, np.nan, np.nan)
    assert _level(drive, "total", plan.probabilities) == pytest.approx(0.5)
    assert _level(drive, "side", plan.probabilities) is None
    assert _level(replace(drive, total=5.0), "total", plan.probabilities) == 0
    assert _level(replace(drive, lie="out"), "total", plan.probabilities) is None


def test_what_is_learnt_is_what_twice_the_drives_would_have_said() -> None:
    """Sides as wide as planned leave the spread and make it surer; wider ones widen it."""
    golfer = load_player_file(find(PLAYER))[0]
    even = (np.arange(40) + 0.5) / 40
    text = player_after(golfer, even)
    assert text is not None
    told = tomllib.loads(text)
    assert told["spread"]["face_deg"] == pytest.approx(1.6, rel=0.03)
    assert told["spread"]["se"]["face_deg"] == pytest.approx(1.6 / np.sqrt(2 * 48), rel=0.05)
    assert told["measured"]["drives"] == 40
    wide = player_after(golfer, stats.norm.cdf(1.5 * stats.norm.ppf(even)))
    assert wide is not None
    assert tomllib.loads(wide)["spread"]["path_deg"] > 1.3 * 1.7
    assert tomllib.loads(wide)["clubs"] == golfer.model_dump(exclude_unset=True)["clubs"]
    assert player_after(golfer, even[:4]) is None


def test_a_player_of_whom_little_is_known_learns_as_well(tmp_path: Path) -> None:
    """Who states a carry, and no spread: the club speed is solved for, the spread is the default for them."""
    file = tmp_path / "player.toml"
    file.write_text('name = "A"\nhand = "right"\nsex = "man"\nhandicap_index = 12\ncarry_yd = 220\n')
    golfer = load_player_file(file)[0]
    text = player_after(golfer, (np.arange(40) + 0.5) / 40)
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
    return held(plan, [PlayedDrive(2, at, changed, "fairway", np.nan, np.nan, np.nan)])


@pytest.mark.parametrize(("more", "lost"), [(0.019, 0.0), (0.021, 0.021), (-0.01, 0.0)])
def test_a_strike_that_costs_hardly_more_than_the_choice_loses_nothing(
    plan: PlanFile, more: float, lost: float
) -> None:
    """A plan keeps a usual strike within 0.02 strokes, so a golfer may as well."""
    gain = next(gain for gain in strayed(plan, more).gains if gain.name.startswith("lost"))
    assert gain.strokes == pytest.approx(lost, abs=1e-9)
    assert gain.holes == (lost > 0)


def test_what_choices_saved_is_as_sure_as_the_plan_has_it(plan: PlanFile) -> None:
    tee = plan.tees[1]
    rival = tee.held_against()
    assert rival is not None
    assert rival.over_choice is not None
    drives = [PlayedDrive(2, tee, tee.chosen(), "fairway", np.nan, np.nan, np.nan)] * 2
    saved = held(plan, drives).gains[0]
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
    assert "not counted: line 11: up was not planned on hole 4" in said
    assert max(map(len, said.splitlines())) <= 110
    made = {path.name: path.read_bytes() for path in (tmp_path / "found").iterdir()}
    assert set(made) == {"review.json", "review.png", "player.toml"}
    content = json.loads(made["review.json"])
    assert content["drives"] == 9
    learnt = load_player(tmp_path / "found" / "player.toml")
    assert learnt.driver("up").spread.se["face"] / DEGREE > 0
    assert run(*words)[0] == 0
    assert {path.name: path.read_bytes() for path in (tmp_path / "found").iterdir()} == made


def test_pictures_show_every_forecast_and_every_drive(plan: PlanFile) -> None:
    found = held(plan, played(plan, 30, np.random.default_rng(6)))
    labels = draw_calibration(found).get_legend_handles_labels()[1]
    assert labels == ["fairway or green", "penalty area or out", "par or better"]
    heights = [patch.get_height() for patch in draw_levels(found, "side").patches[1:]]  # type: ignore[attr-defined]
    assert sum(heights) == len(found.levels["side"])


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("hole,lie\n4,farway\n", "line 2, lie: 'farway' is no place to finish; did you mean fairway?"),
        ("hole,lie\n77,rough\n", "line 2, hole: '77' was not planned"),
        ("hole,scor\n4,5\n", "did you mean score?"),
        ("hole,score\n4,4.5\n", "line 2, score"),
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


@pytest.mark.parametrize(
    ("damage", "said"),
    [
        (lambda text: text[: len(text) // 2], "is not a plan file (JSON)"),
        (lambda text: f"[{text}, {text}]", "several winds"),
        (lambda text: text.replace('"schema": 3', '"schema": 9'), "schema"),
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


def test_a_round_is_read_with_what_the_plan_chose(plan: PlanFile, tmp_path: Path) -> None:
    card = tmp_path / "round.csv"
    card.write_text("hole,lie,side_yd\n4,heavy rough,7 L\n4,out,\n")
    drives, unplanned = load_round(card, plan)
    assert [d.strike.label for d in drives] == [plan.tees[1].chosen().label] * 2
    assert drives[0].side == -7
    assert drives[0].lie == "heavy_rough"
    assert unplanned == []
