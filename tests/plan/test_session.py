"""The session: what it answers at rest is the plan, and what it keeps does not show."""

import json

import numpy as np
import pytest

from holesim.course.course import Course
from holesim.errors import InputError
from holesim.plan.plan import gather_plan, make_plan
from holesim.plan.plan_json import tee_dict
from holesim.plan.round_options import RoundOptions
from holesim.plan.session import FEW_DRAWS, Session, Wind
from holesim.plan.struck_drives import StruckDrives, fly_struck
from holesim.player.player import Player
from holesim.shot.air import Air
from holesim.shot.flight import Flights
from holesim.units import DEGREE

WINDS = (Wind(14, 225), Wind(14, 10), Wind(25, 100), Wind(0, 0), Wind(14, 226))


@pytest.fixture(scope="module")
def session(demo_course: Course, amateur: Player) -> Session:
    return Session(demo_course, amateur, RoundOptions(draws=1024))


@pytest.mark.parametrize("wind", WINDS)
def test_at_rest_it_says_what_a_plan_says(
    session: Session, demo_course: Course, amateur: Player, wind: Wind
) -> None:
    session.glance(4, "back", wind)  # leaves its traces
    options = RoundOptions(draws=1024, wind_mph=wind.mph, wind_from_deg=wind.from_deg)
    plan = make_plan(demo_course, amateur, options, holes=[4, 3])
    found = [session.plan_tee(hole, "back", wind) for hole in (4, 3)]
    assert gather_plan(session, found, wind).to_json() == plan.to_json()
    assert json.dumps(tee_dict(found[0], demo_course)) == json.dumps(plan.to_dict()["tees"][0])


def test_a_new_direction_flies_nothing(
    demo_course: Course, amateur: Player, monkeypatch: pytest.MonkeyPatch
) -> None:
    session, flown = Session(demo_course, amateur), []

    def counted(drives: StruckDrives, air: Air) -> Flights:
        flown.append(air)
        return fly_struck(drives, air)

    monkeypatch.setattr("holesim.plan.flown_drives.fly_struck", counted)
    first = session.glance(4, "back", Wind(14, 225))
    assert len(flown) == 2  # up and down
    other = session.glance(4, "back", Wind(14, 45))
    session.glance(5, "back", Wind(14, 45))
    assert len(flown) == 2
    assert first.strikes[0].strokes != other.strikes[0].strokes
    session.glance(4, "back", Wind(15, 45))
    assert len(flown) == 4


def test_what_is_kept_stays_within_its_room(demo_course: Course, amateur: Player) -> None:
    room = 30e6
    session = Session(demo_course, amateur, room=room)
    before = session.glance(4, "back", Wind(14, 225))
    for mph in range(1, 40, 3):
        session.glance(4, "back", Wind(mph, 100))
        assert session.nbytes < 2 * room
    after = session.glance(4, "back", Wind(14, 225))
    assert [s.strokes for s in before.strikes] == [s.strokes for s in after.strikes]


def test_a_glance_is_near_what_all_drives_say(session: Session) -> None:
    """Within what 1,024 drives can tell: four standard errors of the sampling."""
    wind = Wind(14, 225)
    glance, whole = session.glance(4, "back", wind), session.plan_tee(4, "back", wind)
    assert glance.draws == FEW_DRAWS
    assert {s.label for s in glance.strikes} == {"up", "down"}
    by_label = {s.label: s for s in whole.strikes}
    up, down = sorted(glance.strikes, key=lambda s: s.label)[::-1]
    over = up.over(down)
    assert abs(over.mean - by_label["up"].over(by_label["down"]).mean) < 4 * over.sampling


def test_a_held_aim_costs_more_than_the_best(session: Session) -> None:
    wind = Wind(14, 225)
    best = next(s for s in session.glance(4, "back", wind).strikes if s.label == "up")
    hole = session.course.holes[3]
    pin = hole.tees[0].bearing(*hole.pin)
    held = session.hold(4, "back", wind, "up", pin + best.aim)
    assert held.strokes == pytest.approx(best.strokes, abs=1e-12)
    assert held.aim == pytest.approx(best.aim, abs=1e-12)
    wide = [session.hold(4, "back", wind, "up", pin + best.aim + turn * DEGREE) for turn in (-8, 8)]
    assert min(s.strokes for s in wide) > best.strokes + 0.05


def test_the_better_strike_by_direction_is_that_of_the_glances(session: Session) -> None:
    """Where the drives that find aims tell the strikes apart clearly, those that score agree."""
    directions = np.arange(0.0, 360.0, 30.0)
    agreed = []
    for found in session.better_strikes(4, "back", 18, directions.tolist(), ["up", "down"]):
        strikes = session.glance(4, "back", Wind(18, found.from_deg), ["up", "down"]).strikes
        if found.saves > 0.08:
            agreed.append(found.label == strikes[0].label)
    assert agreed
    assert all(agreed)


def test_a_par_3_is_glanced_at_with_the_clubs_that_fit(session: Session) -> None:
    par_3 = next(hole for hole in session.course.holes if hole.par == 3)
    glance = session.glance(par_3.number, "back", Wind(5, 0))
    assert "driver" not in {s.club for s in glance.strikes}
    whole = session.plan_tee(par_3.number, "back", Wind(5, 0))
    assert whole.choice.label in {s.label for s in glance.strikes}


def test_other_options_share_what_stays(session: Session) -> None:
    session.value(4)
    birdie = session.changed(goal="birdie")
    assert birdie.is_valued(4)
    assert birdie.ground is session.ground
    firm = session.changed(ground="firm")
    assert not firm.is_valued(4)
    assert firm.ground is not session.ground
    warm = session.changed(temperature_f=95)
    assert warm.ground is session.ground
    for changed in (birdie, warm):
        plan = make_plan(session.course, session.player, changed.options, holes=[4])
        found = gather_plan(changed, [changed.plan_tee(4, "back")])
        assert found.to_json() == plan.to_json()


def test_unknown_names_are_told(session: Session) -> None:
    for ask in (
        lambda: session.glance(4, "back", None, ["3-iron"]),
        lambda: session.plan_tee(99, "back"),
        lambda: session.plan_tee(4, "purple"),
        lambda: session.options_in(Wind(300, 0)),
    ):
        with pytest.raises(InputError):
            ask()


def test_work_at_rest_can_be_given_up(session: Session) -> None:
    """Another question need not wait: the work stops between two pieces, and can be asked for again."""

    class GivenUp(Exception):  # noqa: N818 - no error
        pass

    left = 9

    def between() -> None:
        nonlocal left
        left -= 1
        if not left:
            raise GivenUp

    wind = Wind(11, 77)
    with pytest.raises(GivenUp):
        session.plan_tee(4, "back", wind, between=between)
    plan = make_plan(session.course, session.player, session.options_in(wind), holes=[4])
    assert gather_plan(session, [session.plan_tee(4, "back", wind)], wind).to_json() == plan.to_json()
