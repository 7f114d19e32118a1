"""Plans that tests of several handouts share."""

from dataclasses import replace

import pytest

from holesim.course.course import Course
from holesim.handouts.plan_folder import plans_json
from holesim.plan.plan import Plan, make_plan
from holesim.plan.plan_file import load_plans
from holesim.plan.plan_tables import PlanFile
from holesim.plan.round_options import RoundOptions
from holesim.player.player import Player


@pytest.fixture(scope="session")
def plan(demo_course: Course, amateur: Player) -> Plan:
    """Eighteen holes."""
    return make_plan(demo_course, amateur, RoundOptions(draws=256, table=True))


@pytest.fixture(scope="session")
def plans(
    plan: Plan, demo_course: Course, amateur: Player, tmp_path_factory: pytest.TempPathFactory
) -> list[PlanFile]:
    """Eighteen holes in two winds, in the second for a left-hander and with long names."""
    windy = RoundOptions(draws=256, wind_mph=18, wind_from_deg=250, table=True, goal="par")
    course = replace(
        demo_course, name="The Very Long and Winding Links of Upper Vantle Skerry by the Sea" * 2
    )
    left = replace(amateur, hand="left", name="Bartholomew Featherstonehaugh-Cholmondeley the Younger" * 2)
    made = [plan, make_plan(course, left, windy)]
    path = tmp_path_factory.mktemp("handouts") / "plan.json"
    path.write_text(plans_json(made), encoding="utf-8")
    return load_plans(path)[0]
