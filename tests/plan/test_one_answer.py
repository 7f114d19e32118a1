"""Two commands asked the same question give one answer: every demo player, a tight and an open hole."""

import json
from pathlib import Path

import numpy as np
import pytest

from holesim.course.course import Course
from holesim.data.examples import find
from holesim.plan.plan import Plan, make_plan
from holesim.plan.plan_file import load_plan
from holesim.plan.round_options import RoundOptions
from holesim.player.player import Player
from holesim.shot.club_speeds import load_player
from holesim.study.break_even import find_break_even
from holesim.study.practice import find_practice_worth

PLAYERS = ("club_golfer", "club_woman", "elite_woman", "good_amateur", "long_hitter", "wild_man")
HOLES = [4, 13]
CALM = RoundOptions()


@pytest.fixture(scope="module", params=PLAYERS)
def player(request: pytest.FixtureRequest) -> Player:
    return load_player(find(f"players/{request.param}.toml"))


@pytest.fixture(scope="module")
def plan(player: Player, demo_course: Course) -> Plan:
    return make_plan(demo_course, player, RoundOptions(draws=256), holes=HOLES)


def test_practice_starts_from_the_plans_total(plan: Plan, player: Player, demo_course: Course) -> None:
    found = find_practice_worth(demo_course, player, CALM.changed(draws=256), holes=HOLES)
    (totals,) = plan.totals.values()
    (measuring,) = plan.measuring.values()
    assert found.strokes == totals["this plan"].strokes
    assert found.measuring == measuring


def test_tipping_has_the_plans_costs_as_things_are(plan: Plan, player: Player, demo_course: Course) -> None:
    found = find_break_even(demo_course, player, "ball-flight", CALM.changed(draws=256), hole=4)
    value = found.values.index(found.scale.now(found.case))
    planned = {s.strike: s.loss for s in plan.tees[0].strikes if s.club == "driver"}
    assert set(planned) == set(found.strikes)
    for k, name in enumerate(found.strikes):
        assert np.array_equal(found.curves[0].loss[value, k], planned[name])


def test_the_file_has_the_plans_choices(plan: Plan, tmp_path: Path) -> None:
    path = tmp_path / "plan.json"
    path.write_text(plan.to_json(), encoding="utf-8")
    read = load_plan(path)
    for tee, written in zip(plan.tees, read.tees, strict=True):
        assert written.chosen().label == tee.choice.label
        assert written.choice.chance == tee.chance
    (day,) = plan.days.values() or (None,)
    assert [one.strike for one in read.day.values()] == ([] if day is None else [day.strike])
    assert json.loads(path.read_text(encoding="utf-8"))["measuring"]
