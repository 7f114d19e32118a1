"""What coaches hold, tried on the whole chain from delivery to rest. Nothing here was tuned to agree.

Common practice, no source, unless said otherwise.
"""

from dataclasses import replace
from math import tan

import numpy as np
import pytest

from holesim.plan.plan import make_plan
from holesim.plan.round_options import RoundOptions
from holesim.player.player import SWING_PLANE, Player, path_shift
from holesim.shot.air import make_air
from holesim.shot.deliveries import Deliveries, mean_delivery
from holesim.shot.flight import QUINTAVALLA, SMITS_SMITH, Aerodynamics, Landings, fly
from holesim.shot.impact import Launches, choose_head, impact
from holesim.units import DEGREE, YARD
from tests.agreement.table import Agreement
from tests.conftest import straight_course

LAWS = [QUINTAVALLA, SMITS_SMITH]


def struck(
    player: Player, name: str, *, face: float = 0.0, mph: float | None = None, law: Aerodynamics = QUINTAVALLA
) -> tuple[Launches, Landings]:
    strike = player.driver(name)  # type: ignore[arg-type]
    given: Deliveries = mean_delivery(strike)
    given = replace(given, face=given.face + face * DEGREE)
    if mph is not None:
        given = replace(given, club_speed=np.array([mph * 0.44704]))
    launches = impact(given, choose_head("driver", given.club_speed[0]), side=player.side)
    return launches, fly(launches, make_air(), aerodynamics=law)[0]


def test_up_launches_higher_with_less_spin(amateur: Player) -> None:
    up, down = struck(amateur, "up")[0], struck(amateur, "down")[0]
    assert up.angle[0] - down.angle[0] > 3 * DEGREE
    assert up.spin[0] < 0.85 * down.spin[0]


@pytest.mark.parametrize("law", LAWS)
@pytest.mark.parametrize("mph", [70, 85, 100, 115])
def test_up_carries_farther_at_equal_speed(amateur: Player, mph: float, law: Aerodynamics) -> None:
    # Hitting up is worth yards at any speed; a sketch with a lift law of the square-root kind gives 18 yd at
    # 115 mph.
    gain = (
        struck(amateur, "up", mph=mph, law=law)[1].x - struck(amateur, "down", mph=mph, law=law)[1].x
    ) / YARD
    assert 3 < gain[0] < 30


@pytest.mark.parametrize("law", LAWS)
def test_up_sends_the_same_face_slip_farther_offline(amateur: Player, law: Aerodynamics) -> None:
    up_launch, up = struck(amateur, "up", face=2, law=law)
    down_launch, down = struck(amateur, "down", face=2, law=law)
    assert up_launch.tilt[0] > down_launch.tilt[0] > 0
    # In degrees, so that going farther is not counted as bending more.
    assert up.y[0] / up.x[0] > 1.05 * down.y[0] / down.x[0]


@pytest.mark.parametrize("name", ["up", "down"])
def test_a_degree_of_face_finishes_well_offline(amateur: Player, agree: Agreement, name: str) -> None:
    _, landing = struck(amateur, name, face=1)
    agree.between(
        "the job",
        f"a 106 mph player, {name}: where a slip of 1° of face with the path fixed finishes",
        float(np.arctan2(landing.y[0], landing.x[0]) / DEGREE),
        2.5,
        3.0,
        unit="°",
        source="2.5 to 2.9° (a sketch, no source)",
    )


def test_hitting_up_takes_the_path_left_and_alignment_cancels_it(amateur: Player) -> None:
    # From geometry: attack/tan(plane), with the path's shift to the left for a right-hander's upward strike.
    for attack in (4.0, -3.0):
        shift = path_shift(attack * DEGREE, 1.0)
        assert shift == pytest.approx(-attack * DEGREE / tan(SWING_PLANE), rel=0.01)
        assert path_shift(attack * DEGREE, -1.0) == -shift
    up, down = amateur.driver("up"), amateur.driver("down")
    assert up.swing_line > 0 > down.swing_line  # aim a touch right to hit up, a touch left to hit down
    assert up.path == pytest.approx(0)
    assert down.path == pytest.approx(0)


def test_an_aligned_swing_flies_straight_and_an_unaligned_one_curves(amateur: Player) -> None:
    straight = struck(amateur, "up")[1]
    assert abs(straight.y[0]) < 0.5
    strike = amateur.driver("up")
    given = mean_delivery(replace(strike, swing_line=0.0, path=path_shift(strike.attack, 1.0)))
    landing = fly(impact(given, choose_head("driver", given.club_speed[0]), side=1.0), make_air())[0]
    assert landing.y[0] > 3 * YARD  # the path left of the face fades the ball


def test_two_in_three_drives_of_a_good_player_find_a_thirty_yard_fairway(amateur: Player) -> None:
    # The tour hits about six fairways in ten, about 30 yd wide. A 3 handicap hits a little fewer.
    plan = make_plan(straight_course(), amateur, RoundOptions(draws=2048))
    share = next(s for s in plan.tees[0].strikes if s.strike == "up" and s.club == "driver").shares["fairway"]
    assert 0.40 < share < 0.65
