"""A plan of three holes, as it is written and as it is read."""

from pathlib import Path

import pytest

from holesim.course.course import Course
from holesim.plan.plan import make_plan
from holesim.plan.plan_file import load_plan
from holesim.plan.plan_tables import PlanFile
from holesim.plan.round_options import RoundOptions
from holesim.player.player import Player


@pytest.fixture(scope="session")
def plan_path(demo_course: Course, amateur: Player, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("plan") / "plan.json"
    path.write_text(make_plan(demo_course, amateur, RoundOptions(draws=1024), holes=[1, 4, 9]).to_json())
    return path


@pytest.fixture(scope="session")
def plan(plan_path: Path) -> PlanFile:
    return load_plan(plan_path)
