"""What several tests share: launches by number, the demo's files, and plain ground with what is put on it."""

import json
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from functools import lru_cache
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pandas as pd
import pytest
import shapely
from hypothesis import settings
from numpy.typing import NDArray
from shapely.geometry import LineString, Polygon

from holesim.app.cli import main as cli
from holesim.course.course import Area, Course, Ground
from holesim.course.course_file import load_course
from holesim.course.ground_map import map_ground
from holesim.course.holes import Hole, Tee
from holesim.data.examples import COURSE, PLAYER, find
from holesim.player.player import Player
from holesim.shot.club_speeds import load_player
from holesim.shot.impact import Launches
from holesim.units import DEGREE, MPH, RPM, YARD
from tests.agreement.table import Agreement
from tests.files.drawn_courses import NAME, Json

DEMO = (str(find(COURSE)), str(find(PLAYER)))

Write = Callable[[Json | bytes], Path]
"""Writes a course file from its content or its bytes."""

Run = Callable[..., tuple[int, str, str]]
"""Runs the command with such words: exit code, what went to stdout, and to stderr."""


def one(*values: float) -> tuple[NDArray[np.float64], ...]:
    """Return each value as an array of one."""
    return tuple(np.array([float(value)]) for value in values)


def launch(mph: float, angle: float, rpm: float, tilt: float = 0.0, direction: float = 0.0) -> Launches:
    return Launches(*one(mph * MPH, angle * DEGREE, direction * DEGREE, rpm * RPM, tilt * DEGREE))


def property_test(examples: int = 60) -> settings:
    """Return the settings of a property test: the same cases in every run, on every machine.

    With HOLESIM_RANDOM=1 in the environment they are fresh in every run, and five times as many.
    """
    fresh = os.environ.get("HOLESIM_RANDOM") == "1"
    return settings(
        deadline=None, database=None, derandomize=not fresh, max_examples=examples * (5 if fresh else 1),
        print_blob=fresh,
    )  # fmt: skip


def published(name: str) -> pd.DataFrame:
    """Return a table of published values; its first lines say where from."""
    return pd.read_csv(Path(__file__).parent / "published" / f"{name}.csv", comment="#")


def straight_course(
    length: float = 420,
    *,
    par: int = 4,
    fairway: float = 30,
    beyond: Ground = Ground.ROUGH,
    areas: tuple[tuple[Ground, Polygon], ...] = (),
    boundary: float | None = None,
) -> Course:
    """Return a course of one hole due north, in yards: a fairway `fairway` wide, `beyond` either side."""
    green = shapely.Point(0, length * YARD).buffer(14 * YARD)
    hole = Hole(
        number=1,
        par=par,
        stroke_index=1,
        line=LineString([(0, 0), (0, length * YARD)]),
        tees=(Tee("back", 0.0, 0.0, length * YARD),),
        green=green,
        pin=(0.0, length * YARD),
    )
    mown = [
        Area(beyond, shapely.box(-400, -50, 400, length * YARD + 150), "beyond"),
        Area(
            Ground.FAIRWAY,
            shapely.box(-fairway / 2 * YARD, 100, fairway / 2 * YARD, length * YARD),
            "fairway",
        ),
        Area(Ground.GREEN, green, "green"),
        *(Area(ground, outline, ground.name.lower()) for ground, outline in areas),
    ]
    edge = (
        None if boundary is None else shapely.box(-boundary * YARD, -40, boundary * YARD, length * YARD + 100)
    )
    return Course("Plain Hole", (hole,), tuple(mown), edge, "plain.geojson", "0" * 64)


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--write-agreement",
        action="store_true",
        help="write the table of agreement anew, in notebooks/agreement.csv and notebooks/agreement.md",
    )


def assorted(n: int, seed: int = 7) -> Launches:
    """Return drives of every kind, from slow and low to fast and high."""
    rng = np.random.default_rng(seed)
    return Launches(
        rng.uniform(35, 84, n),
        rng.uniform(3, 22, n) * DEGREE,
        rng.normal(0, 3, n) * DEGREE,
        rng.uniform(900, 6000, n) * RPM,
        rng.normal(0, 12, n) * DEGREE,
    )


def pytest_xdist_auto_num_workers() -> int:
    """One more process than processors: tests of the window wait for a browser much of their time."""
    return (os.cpu_count() or 1) + 1


def pytest_configure(config: pytest.Config) -> None:
    """Compile kernels once, before several processes would each compile them."""
    if hasattr(config, "workerinput") or not config.getoption("numprocesses", None):
        return
    with TemporaryDirectory() as folder:
        measure = *_MEASURE, "--out", str(Path(folder, "player.toml"))
        started = [
            subprocess.Popen(  # noqa: S603
                (sys.executable, "-m", "holesim", *words),
                stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL,
            )
            for words in (("demo", "--hole", "4", "--draws", "256"), measure)
        ]
        for process in started:
            process.wait()


_MEASURE = (
    "measure", str(find("range/demo.csv")), "--name", "A Golfer", "--hand", "right", "--sex", "man",
    "--handicap", "3", "--balls", "course",
)  # fmt: skip

LONGEST = (
    "test_page", "test_fit", "test_draw_page", "test_draw_forms", "test_break_even", "test_bench",
    "test_notebooks", "test_damaged_files", "test_coach_sheet", "test_posterior_draws", "test_practice",
    "test_progress", "test_hole_wind", "test_roster_scores", "test_plan", "test_batch",
    "test_expected_strokes", "test_web_page", "test_untidy_courses", "test_cli", "test_sitting",
    "test_golfers_page", "test_coach", "test_captain_page", "test_large_files", "test_lesson", "test_jobs",
)  # fmt: skip

SAME_PLANS = {"test_pocket_card": "test_coach_sheet", "test_paper": "test_coach_sheet"}


@pytest.hookimpl(tryfirst=True)  # before xdist looks at the groups
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    # The longest files first, or one process waits for the other; what compares the table with this run's
    # findings comes after them.
    rank = {name: number for number, name in enumerate(LONGEST)}
    items.sort(key=lambda i: (rank.get(i.path.stem, len(rank)), i.path.stem == "test_table"))
    # One process has them all; else a file stays together, and so do its fixtures, or files that share one.
    for item in items:
        compared = "agree" in getattr(item, "fixturenames", ())
        file = SAME_PLANS.get(item.path.stem, item.path.stem)
        item.add_marker(pytest.mark.xdist_group("agreement" if compared else file))


@pytest.fixture(scope="session", autouse=True)
def _each_course_mapped_once() -> Iterator[None]:
    """Map a course once for all its plans: a fifth of a second, hundreds of times. Maps are never changed."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("holesim.plan.conditions.map_ground", lru_cache(maxsize=4)(map_ground))
        yield


@pytest.fixture(scope="session")
def agree() -> Agreement:
    return Agreement()


@pytest.fixture(scope="session")
def demo_course() -> Course:
    return load_course(find(COURSE))


@pytest.fixture(scope="session")
def amateur() -> Player:
    return load_player(find(PLAYER))


@pytest.fixture
def player_file(tmp_path: Path) -> Callable[[str], Path]:
    """Return a function that writes a player file from the text that follows the five required keys."""

    def write(text: str, *, speed: float = 106, hand: str = "right", handicap: float = 3) -> Path:
        path = tmp_path / "player.toml"
        head = f'name = "A Golfer"\nhand = "{hand}"\nsex = "man"\n'
        path.write_text(f"{head}handicap_index = {handicap}\nclub_speed_mph = {speed}\n{text}")
        return path

    return write


@pytest.fixture
def course_file(tmp_path: Path) -> Write:
    """Return a function that writes a course file from its content or its bytes."""

    def to_disk(content: Json | bytes) -> Path:
        path = tmp_path / NAME
        path.write_bytes(content if isinstance(content, bytes) else json.dumps(content).encode())
        return path

    return to_disk


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Run:
    """Return a function that runs the command in this process: exit code, stdout, stderr."""

    def call(*words: str) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["holesim", *words])
        with pytest.raises(SystemExit) as stopped:
            cli.main()
        said = capsys.readouterr()
        return int(stopped.value.code or 0), said.out, said.err

    return call
