"""Progress: known changes are found, a good day is not taken for one, and what it says."""

import json
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from holesim.common import parallel
from holesim.course.course import Course
from holesim.data.examples import COURSE, PLAYER, find
from holesim.errors import InputError
from holesim.measure.drives_table import DrivesTable, Session
from holesim.measure.fit import DELIVERY, NOISE
from holesim.measure.session_fits import fit_sessions, player_of
from holesim.plan.round_options import RoundOptions
from holesim.player.make_player import make_player
from holesim.player.player import StrikeName
from holesim.player.player_file import PlayerFile, read_player
from holesim.player.population import (
    CHANGE_SHARE,
    CHANGE_SPREAD_LOG_SD,
    DAY_SHARE,
    DAY_SPREAD_LOG_SD,
)
from holesim.reports.progress_text import progress_sentences, progress_text
from holesim.study.progress import NumberChange, Progress, chance_of_change, compare_sessions
from holesim.study.progress_worth import as_of, find_strokes_change
from holesim.study.session_golfers import (
    NUMBERS,
    SessionGolfer,
    check_days,
    measure_sessions,
    order_sessions,
    read_session,
)
from holesim.units import DEGREE, MPH
from tests.conftest import Run
from tests.measure.test_fit import measures, strikes, units

Floats = NDArray[np.float64]

GOLFER = PlayerFile(name="a golfer", hand="right", sex="man", handicap_index=5.0, club_speed_mph=104.0)
DAYS = (date(2026, 5, 12), date(2026, 6, 14))
UP: tuple[tuple[StrikeName, StrikeName], ...] = (("up", "up"),)
OF_TABLES = "say who it is and when, as they are no tables; leave out the options of tables"
SWING = {name: k for k, name in enumerate(DELIVERY)}


def table(
    swings: Sequence[Floats], rng: np.random.Generator, columns: Sequence[str] = DELIVERY
) -> DrivesTable:
    """Return sessions of drives, all of them hit up, as measured by a launch monitor."""
    counts = [len(session) for session in swings]
    values = measures(np.concatenate(swings), columns, rng)
    lines = np.arange(2, sum(counts) + 2)
    found = DrivesTable.of_one_session(values, (), lines, "course", "range.csv")
    sessions = tuple(Session(day.isoformat(), day) for day in DAYS[: len(counts)])
    return replace(found, sessions=sessions, session_of=np.repeat(np.arange(len(counts)), counts))


GOLFERS = 16


def simulate(
    trial: int, *, lasting: float, lasting_spread: float, drives: int = 30
) -> list[tuple[NumberChange, float]]:
    """Return what is said of two sessions, each with its own day, and by how much each number changed."""
    rng, known = np.random.default_rng([11, trial]), strikes()[:1]
    centres, unit = units(known)
    axes = len(DELIVERY)
    own = unit * np.exp(0.25 * rng.standard_normal(axes))
    change, wider = lasting * own * rng.standard_normal(axes), lasting_spread * rng.standard_normal(axes)
    swings = []
    for session in range(2):
        sd = own * np.exp(session * wider + DAY_SPREAD_LOG_SD * rng.standard_normal(axes))
        mean = centres[0] + session * change + DAY_SHARE * own * rng.standard_normal(axes)
        swings.append(mean + sd * rng.standard_normal((drives, axes)))
    found = compare_sessions(measure_sessions(table(swings, rng), GOLFER, draws=200))
    true = {name: float(change[k]) for name, k in SWING.items()}
    true["face_to_path"] = true["face"] - true["path"]
    spread = {name: float(wider[k]) for name, k in SWING.items()}
    return [(one, (spread if one.number.spread else true)[one.number.axis]) for one in found.changes]


def test_a_good_day_is_seldom_taken_for_a_change() -> None:
    """Golfers who differ from day to day and have not changed."""
    found = parallel.share_out(lambda k: simulate(k, lasting=0, lasting_spread=0), GOLFERS)
    chances = np.array([[one.chance for one, _ in pair] for pair in found])
    assert chances.shape == (GOLFERS, len(NUMBERS))
    assert (chances >= 0.95).mean() < 0.03
    assert (chances >= 0.95).any(axis=1).mean() < 0.2


def test_chances_are_as_often_right_as_they_say() -> None:
    """Golfers whose changes are drawn from the prior; 176 numbers err by chance by 0.04."""
    found = parallel.share_out(
        lambda k: simulate(k, lasting=CHANGE_SHARE, lasting_spread=CHANGE_SPREAD_LOG_SD), GOLFERS
    )
    said = np.array([[one.chance for one, _ in pair] for pair in found])
    right = np.array([[one.change * true > 0 for one, true in pair] for pair in found])
    assert right.mean() == pytest.approx(said.mean(), abs=0.06)
    sure = said >= 0.8
    assert sure.mean() > 0.15
    assert right[sure].mean() == pytest.approx(said[sure].mean(), abs=0.09)


@pytest.fixture(scope="module")
def lesson() -> list[SessionGolfer]:
    """Return two sessions of 40 drives; the path of the second is 4° left of the first, and varies less.

    Otherwise the drives of both are alike on average.
    """
    rng, known = np.random.default_rng(5), strikes()[:1]
    centres, unit = units(known)
    errors = rng.standard_normal((2, 40, len(DELIVERY)))
    first, second = centres[0] + unit * (errors - errors.mean(axis=1, keepdims=True))
    path = SWING["path"]
    second[:, path] = centres[0, path] - 4 * DEGREE + 0.3 * (second[:, path] - centres[0, path])
    return measure_sessions(table([first, second], rng), GOLFER)


def of_key(found: Progress, key: str) -> NumberChange:
    return next(change for change in found.changes if change.number.key == key)


def test_a_known_change_is_found(lesson: list[SessionGolfer]) -> None:
    found = compare_sessions(lesson)
    path, spread = of_key(found, "path_deg"), of_key(found, "path_spread_deg")
    assert path.low < -4 * DEGREE < path.high
    assert path.chance > 0.95
    assert spread.change < 0
    assert spread.shows
    assert spread.chance > 0.95
    assert of_key(found, "face_to_path_deg").change == pytest.approx(4 * DEGREE, abs=1 * DEGREE)
    for key in ("face_deg", "toe_mm", "club_speed_mph"):
        assert of_key(found, key).chance < 0.95


def test_two_means_differ_as_textbook_statistics_say() -> None:
    """All of the club measured, 80 drives: the prior hardly counts, and the interval is the normal one."""
    rng, known = np.random.default_rng(6), strikes()[:1]
    centres, unit = units(known)
    swings = [centres[0] + unit * rng.standard_normal((80, len(DELIVERY))) for _ in range(2)]
    drives = table(swings, rng)
    found = compare_sessions(measure_sessions(drives, GOLFER))
    for name in ("attack", "face", "toe"):
        change = next(c for c in found.changes if c.number.axis == name and not c.number.spread)
        values = [drives.values[name][drives.session_of == k] for k in range(2)]
        se = np.sqrt(sum(v.var(ddof=1) / len(v) for v in values))
        assert change.change == pytest.approx(values[1].mean() - values[0].mean(), abs=0.2 * se)
        assert change.high - change.low == pytest.approx(2 * 1.645 * se, rel=0.15)


def test_a_day_makes_a_chance_smaller_and_so_do_few_changes() -> None:
    assert chance_of_change(1.0, sd=0.5, lasting=100.0) == pytest.approx(
        0.97725, abs=1e-4
    )  # of two deviations
    assert chance_of_change(1.0, sd=0.8, lasting=100.0) < 0.95
    assert chance_of_change(1.0, sd=0.5, lasting=0.5) == pytest.approx(0.92135, abs=1e-4)  # of √2 deviations
    assert chance_of_change(0.0, sd=0.5, lasting=0.5) == 0.5


def test_what_was_not_measured_is_not_compared() -> None:
    rng, known = np.random.default_rng(7), strikes()[:1]
    centres, unit = units(known)
    swings = [centres[0] + unit * rng.standard_normal((30, len(DELIVERY))) for _ in range(2)]
    found = compare_sessions(measure_sessions(table(swings, rng, ("face", "attack")), GOLFER))
    assert [c.number.key for c in found.changes] == ["attack_deg", "face_deg", "face_spread_deg"]
    assert len(found.untold) == len(NUMBERS) - 3
    text = " ".join(progress_text(found).split())
    assert "Not compared, as the drives tell too little of them: club speed; path, right of the aim; " in text
    blind = measure_sessions(table(swings, rng, ("dynamic_loft",)), GOLFER)
    with pytest.raises(InputError, match="have no number in common that their drives tell"):
        compare_sessions(blind)


def test_an_attack_that_moved_is_the_same_strike() -> None:
    """From 1° to 3.5° up it would be called level on the first day."""
    rng, known = np.random.default_rng(8), strikes()[:1]
    centres, unit = units(known)
    swings = []
    for attack in (1.0, 3.5):
        swings.append(centres[0] + unit * rng.standard_normal((30, len(DELIVERY))))
        swings[-1][:, SWING["attack"]] += attack * DEGREE - centres[0, SWING["attack"]]
    drives = replace(table(swings, rng), strikes=())
    first, last = measure_sessions(drives, GOLFER)
    assert first.names == last.names
    found = of_key(compare_sessions([first, last]), "attack_deg")
    assert found.low < 2.5 * DEGREE < found.high


def test_an_attack_that_moved_far_has_another_name_and_is_compared() -> None:
    """From 2.5° down to 3.5° up: two groups of drives, each of its own day."""
    rng, known = np.random.default_rng(8), strikes()[:1]
    centres, unit = units(known)
    swings = []
    for attack in (-2.5, 3.5):
        swings.append(centres[0] + unit * rng.standard_normal((30, len(DELIVERY))))
        swings[-1][:, SWING["attack"]] += attack * DEGREE - centres[0, SWING["attack"]]
    sessions = measure_sessions(table(swings, rng), GOLFER)
    assert [session.names for session in sessions] == [("down",), ("up",)]
    found = compare_sessions(sessions)
    assert (found.before, found.strikes) == (("down",), ("up",))
    change = of_key(found, "attack_deg")
    assert change.low < 6 * DEGREE < change.high
    assert change.chance > 0.95
    text = " ".join(progress_text(found).split())
    assert "the strike is down in the first session and up in the last" in text
    then = as_of(sessions[0].player, sessions[1].player, sessions[1].player, [("down", "up")])
    assert [strike.name for strike in then.drivers] == ["down"]


# --- player files ---------------------------------------------------------------------------------


def measured_file(golfer: SessionGolfer, sessions: list[str], **change: object) -> SessionGolfer:
    """Return the session of a player file that says what was measured."""
    strike, spread = golfer.player.driver("up"), golfer.player.driver("up").spread
    told = {
        "attack_deg": ("attack", DEGREE), "club_speed_mph": ("club_speed", MPH), "face_deg": ("face", DEGREE),
        "dynamic_loft_deg": ("dynamic_loft", DEGREE), "swing_line_deg": ("swing_line", DEGREE),
        "toe_mm": ("toe", 0.001), "high_mm": ("high", 0.001),
    }  # fmt: skip
    sizes = {
        "face_deg": ("face", DEGREE), "path_deg": ("path", DEGREE), "attack_deg": ("attack", DEGREE),
        "dynamic_loft_deg": ("dynamic_loft", DEGREE), "speed_pct": ("speed", 0.01), "toe_mm": ("toe", 0.001),
        "high_mm": ("high", 0.001),
    }  # fmt: skip
    model = PlayerFile.model_validate(
        GOLFER.model_dump(exclude_unset=True)
        | {"measured": {"drives": golfer.drives, "sessions": sessions}}
        | {"likely": {place: z for place, z in golfer.player.likely.items() if place.startswith("strikes")}}
        | {
            "strikes": {
                "up": {key: getattr(strike, field) / unit for key, (field, unit) in told.items()}
                | {"se": {key: strike.se[field] / unit for key, (field, unit) in told.items()}}
                | {
                    "spread": {key: getattr(spread, field) / unit for key, (field, unit) in sizes.items()}
                    | {"se": {key: spread.se[field] / unit for key, (field, unit) in sizes.items()}}
                }
            }
        }
        | change
    )
    return read_session(make_player(model, f"{'-'.join(sessions) or 'undated'}.toml", ""), model)


def test_player_files_say_what_their_tables_say(lesson: list[SessionGolfer]) -> None:
    told = compare_sessions(lesson)
    files = [measured_file(one, [day.isoformat()]) for one, day in zip(lesson, DAYS, strict=True)]
    found = compare_sessions(files)
    by_number = {change.number: change for change in told.changes}
    both = [(change, by_number[change.number]) for change in found.changes if change.number in by_number]
    # A number of which the drives just tell enough may stand in one alone.
    assert len(both) >= max(len(found.changes), len(told.changes)) - 1
    for one, other in both:
        assert one.change == pytest.approx(other.change, abs=0.05 * (other.high - other.low))
        # 32 draws know a standard error to an eighth.
        assert one.high - one.low == pytest.approx(other.high - other.low, rel=0.3)


def test_more_days_leave_less_to_the_day(lesson: list[SessionGolfer]) -> None:
    first = measured_file(lesson[0], ["2026-05-12"])
    one = measured_file(lesson[1], ["2026-06-14"])
    many = measured_file(lesson[1], ["2026-06-14", "2026-06-15", "2026-06-16", "2026-06-17"])
    assert many.session.name == "2026-06-14 to 2026-06-17"
    few_days, more_days = (compare_sessions([first, last]) for last in (one, many))
    assert of_key(more_days, "path_deg").chance > of_key(few_days, "path_deg").chance


def test_files_stand_in_the_order_of_their_dates(lesson: list[SessionGolfer]) -> None:
    may, june = (measured_file(lesson[k], [DAYS[k].isoformat()]) for k in range(2))
    assert order_sessions([june, may]) == ([may, june], [])
    undated = measured_file(lesson[0], [])
    found, guesses = order_sessions([undated, undated])
    assert found == [undated, undated]
    assert "the files have no dates: taken in the order given" in str(guesses[0])
    with pytest.raises(InputError, match=r"has no date, and 2026-05-12 has one"):
        order_sessions([may, undated])
    both = measured_file(lesson[1], ["2026-05-12", "2026-06-14"])
    with pytest.raises(InputError, match=r"holds the drives of 2026-05-12, as 2026-05-12.toml does"):
        check_days([may, both])


def test_sessions_that_cannot_be_compared(lesson: list[SessionGolfer]) -> None:
    with pytest.raises(InputError, match="2026-05-12: is one session alone; give two"):
        compare_sessions(lesson[:1])
    left = measured_file(lesson[1], ["2026-06-14"], hand="left")
    with pytest.raises(InputError, match="2026-06-14: is of a left-hander, 2026-05-12 of a right-hander"):
        compare_sessions([lesson[0], left])
    other = measured_file(lesson[1], ["2026-06-14"], name="Ana Reith")
    with pytest.raises(InputError, match="2026-06-14: is of Ana Reith, and 2026-05-12 of a golfer"):
        compare_sessions([lesson[0], other])
    model, _ = read_player(find(PLAYER))
    with pytest.raises(InputError, match="does not say how surely its numbers were measured"):
        read_session(make_player(model, "vale.toml", ""), model)
    two = replace(lesson[1], names=("level", "down"))
    with pytest.raises(InputError, match="2026-06-14: has drives of level and down, and in 2026-05-12 up"):
        compare_sessions([lesson[0], two])


# --- strokes --------------------------------------------------------------------------------------


def test_no_change_is_worth_nothing(lesson: list[SessionGolfer], demo_course: Course) -> None:
    first, last = (session.player for session in lesson)
    options = RoundOptions(draws=256)
    same = find_strokes_change(demo_course, first, first, UP, options, holes=[8])
    assert same.change.mean == pytest.approx(0, abs=1e-12)
    there = find_strokes_change(demo_course, first, last, UP, options, holes=[8])
    assert abs(there.change.mean) > 0.01
    low, high = there.interval
    assert low < there.change.mean < high
    assert there.last - there.first == pytest.approx(there.change.mean)


def test_both_golfers_are_known_as_well_and_differ_in_the_driver_alone(lesson: list[SessionGolfer]) -> None:
    first, last = (session.player for session in lesson)
    then, now = as_of(first, last, last, UP), as_of(last, first, last, UP)
    assert then.strikes[1:] == now.strikes[1:]
    own, known = first.driver("up"), then.driver("up")
    assert known.face == own.face
    pooled = np.sqrt((own.se["face"] ** 2 + last.driver("up").se["face"] ** 2) / 2)
    assert known.se["face"] == pytest.approx(np.hypot(pooled, DAY_SHARE * own.spread.face))
    assert known.se["club_speed"] == pytest.approx(now.driver("up").se["club_speed"], rel=0.1)


def test_a_fit_becomes_a_player_as_surely_known() -> None:
    rng, known = np.random.default_rng(9), strikes()[:1]
    centres, unit = units(known)
    drives = table([centres[0] + unit * rng.standard_normal((20, len(DELIVERY)))], rng, tuple(NOISE))
    (found,) = fit_sessions(drives, GOLFER, draws=400)
    player = player_of(found)
    up = player.driver("up")
    assert up.face == pytest.approx(found.means["face"].mean())
    assert up.se["face"] == pytest.approx(found.means["face"].std())
    assert up.spread.se["toe"] == pytest.approx(found.spreads["toe"].std())
    assert player.drag_slope is not None
    assert set(player.likely) >= {"strikes.up.face_deg", "strikes.up.spread.toe_mm", "ball.drag_slope"}


# --- words ----------------------------------------------------------------------------------------


def test_the_sentences_say_it_for_a_lesson(lesson: list[SessionGolfer]) -> None:
    found = compare_sessions(lesson)
    said = progress_sentences(found)
    assert said[0].startswith("Since 12 May ")
    assert "the path has moved 3." in said[0] or "the path has moved 4." in said[0]
    assert "° left (" in said[0]
    assert "), more than a good day" in said[0]
    assert said[-1].endswith(" have not changed as far as 40 drives can tell.")
    assert "the strike point" in said[-1].lower()
    text = progress_text(found)
    assert text.startswith("a golfer: 12 May 2026 (40 drives) to 14 June 2026 (40 drives), up\n")
    assert "our assumption" in text
    assert max(map(len, text.splitlines())) <= 110
    assert " mph" in text
    assert " m/s" in progress_text(found, metric=True)
    still = replace(found, changes=tuple(c for c in found.changes if c.number.key == "toe_mm"))
    assert progress_sentences(still) == ["Since 12 May nothing has changed as far as 40 drives can tell."]


# --- the command ----------------------------------------------------------------------------------


@pytest.fixture
def write(tmp_path: Path) -> Callable[..., Path]:
    """Write a table of 12 drives of one day, the path left by as many degrees."""

    def written(name: str, seed: int, left: float = 0.0) -> Path:
        rng, (up, *_) = np.random.default_rng(seed), strikes()
        centres, unit = units((up,))
        swings = centres[0] + unit * rng.standard_normal((12, len(DELIVERY)))
        swings[:, SWING["path"]] -= left * DEGREE
        got = measures(swings, ("attack", "path", "face"), rng)
        lines = ["attack_deg,path_deg,face_deg"]
        lines += [",".join(f"{v / DEGREE:.1f}" for v in row) for row in zip(*got.values(), strict=True)]
        path = tmp_path / name
        path.write_text("\n".join(lines) + "\n", encoding="utf-8")
        return path

    return written


def test_tables_on_the_command_line(run: Run, write: Callable[..., Path]) -> None:
    may, june = write("r 2026-05-12.csv", 1), write("r 2026-06-14.csv", 2, 12.0)
    like = ("--like", str(find(PLAYER)), "--balls", "course")
    code, said, heard = run("progress", str(june), str(may), *like)
    assert code == 0, heard
    assert "Since 12 May the path has moved " in said
    where = ("--course", str(find(COURSE)), "--hole", "8", "--draws", "256")
    code, said, heard = run("progress", str(june), str(may), *like, "--json", *where)
    assert code == 0, heard
    found = json.loads(said)
    assert found["sessions"] == [{"name": "2026-05-12", "drives": 12}, {"name": "2026-06-14", "drives": 12}]
    path = found["changes"]["path_deg"]
    assert path["change"] == pytest.approx(path["sessions"][1] - path["sessions"][0])
    assert path["change"] < -8
    assert found["strokes"]["course"] == "Vantle Skerry"
    assert found["strokes"]["low"] < found["strokes"]["change"] < found["strokes"]["high"]


def test_files_of_measure_on_the_command_line(run: Run, write: Callable[..., Path], tmp_path: Path) -> None:
    names = []
    for day, seed, left in (("2026-05-12", 1, 0.0), ("2026-06-14", 2, 12.0)):
        names.append(str(tmp_path / f"{day[5:7]}.toml"))
        words = ("--out", names[-1], "--like", str(find(PLAYER)), "--balls", "course")
        code, _, heard = run("measure", str(write(f"r {day}.csv", seed, left)), *words)
        assert code == 0, heard
    code, said, heard = run("progress", *reversed(names))
    assert code == 0, heard
    assert "Since 12 May the path has moved " in said


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("p.toml", "p.toml"), "holesim: p.toml: is given twice; leave one out\n"),
        (("a.csv",), "holesim: a.csv: is one session alone; give two tables, or one with two dates\n"),
        (("a.csv", "p.toml"), "holesim: FILES: are of several kinds; give tables, players or reviews\n"),
        (("p.toml", "--balls", "course"), f"holesim: FILES: {OF_TABLES}\n"),
    ],
)
def test_mistakes_are_one_line(
    run: Run, write: Callable[..., Path], words: Sequence[str], message: str
) -> None:
    folder = write("a.csv", 1).parent
    (folder / "p.toml").write_text(Path(find(PLAYER)).read_text())
    given = [str(folder / word) if "." in word else word for word in words]
    more = (
        ()
        if any(word.endswith("toml") for word in words)
        else ("--balls", "course", "--like", str(find(PLAYER)))
    )
    code, _, heard = run("progress", *given, *more)
    assert (code, heard.replace(f"{folder}/", "")) == (2, message)
