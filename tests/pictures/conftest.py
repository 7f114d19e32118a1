"""A plan that tests of several pictures share, also with names that could do harm."""

from dataclasses import replace
from typing import Final

import pytest

from holesim.course.course import Course
from holesim.plan.plan import Plan, make_plan
from holesim.plan.round_options import RoundOptions
from holesim.player.player import Player

HOSTILE: Final = r"$\alpha$ <b>Æ</b> ../../x \frac{1}{0} of a name that goes on for longer than any line"


@pytest.fixture(scope="session")
def plan(demo_course: Course, amateur: Player) -> Plan:
    """Holes 3 and 4 of the demo course."""
    return make_plan(demo_course, amateur, RoundOptions(draws=256), holes=[3, 4])


@pytest.fixture(scope="session")
def hostile(plan: Plan) -> Plan:
    """The same for a course, a player and tees with long names in the language of formulas."""
    tees = tuple(replace(tee, tee=replace(tee.tee, name=HOSTILE)) for tee in plan.tees)
    return replace(
        plan,
        course=replace(plan.course, name=HOSTILE),
        player=replace(plan.player, name=HOSTILE),
        tees=tees,
        totals={HOSTILE: plan.totals["back"]},
    )
