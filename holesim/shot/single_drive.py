"""One drive without errors, from the numbers of a ball, a club or a player to where it stops on a fairway."""

from math import atan2, hypot

import numpy as np

from holesim.course.course import Firmness, Ground
from holesim.course.ground_map import plain
from holesim.errors import InputError, rather
from holesim.player.player import Player
from holesim.shot.air import Air
from holesim.shot.bounce import run
from holesim.shot.deliveries import Deliveries, mean_delivery
from holesim.shot.flight import QUINTAVALLA, Aerodynamics, fly, to_hole_frame
from holesim.shot.impact import Launches, choose_head, impact
from holesim.units import DEGREE, MM, MPH, RPM, YARD


def from_ball(
    speed_mph: float, angle_deg: float, spin_rpm: float, tilt_deg: float = 0.0, direction_deg: float = 0.0
) -> Launches:
    """Return the launch of a ball with these measured numbers."""
    values = (speed_mph * MPH, angle_deg * DEGREE, direction_deg * DEGREE, spin_rpm * RPM, tilt_deg * DEGREE)
    return Launches(*(np.array([value]) for value in values))


def from_club(
    speed_mph: float,
    attack_deg: float,
    path_deg: float,
    face_deg: float,
    dynamic_loft_deg: float,
    toe_mm: float = 0.0,
    high_mm: float = 0.0,
) -> Launches:
    """Return the launch of a ball struck so by a right-hander's driver."""
    values = (
        speed_mph * MPH, attack_deg * DEGREE, path_deg * DEGREE, face_deg * DEGREE,
        dynamic_loft_deg * DEGREE, toe_mm * MM, high_mm * MM,
    )  # fmt: skip
    return impact(
        Deliveries(*(np.array([value]) for value in values)), choose_head("driver", speed_mph * MPH), side=1.0
    )


def from_player(player: Player, name: str | None = None) -> Launches:
    """Return the launch of a player's mean delivery with a named strike or club.

    Without a name it is the usual strike; if the player has no usual strike, it is the first.

    Raises
    ------
    InputError
        If the player has no strike or club of that name.
    """
    wanted = name or player.usual or player.drivers[0].name
    named = {s.label: s for s in player.strikes}
    if wanted not in named:
        remedy = rather(wanted, named, f"choose one of {', '.join(named)}")
        raise InputError(player.file, "", f"has no strike {wanted!r:.40}", remedy)
    strike = named[wanted]
    return impact(mean_delivery(strike), choose_head(strike.kind, strike.club_speed), side=player.side)


def fly_shot(
    launches: Launches,
    air: Air,
    *,
    firmness: Firmness = "medium",
    aerodynamics: Aerodynamics = QUINTAVALLA,
) -> dict[str, float]:
    """Fly one launch over level ground until it stops on a fairway; 0° is a head wind.

    Returns
    -------
    dict
        Numbers by name; each name ends with its unit.

    Examples
    --------
    >>> from holesim.shot.air import make_air
    >>> drive = from_ball(speed_mph=167, angle_deg=10.9, spin_rpm=2686)
    >>> calm = fly_shot(drive, make_air())
    >>> f"{calm['carry_yd']:.0f} yd of carry, {calm['total_yd']:.0f} yd total"
    '274 yd of carry, 295 yd total'
    >>> fly_shot(drive, make_air(wind_mph=10))["carry_yd"] < calm["carry_yd"]
    True
    """
    landings, tracks = fly(launches, air, aerodynamics=aerodynamics)
    # As if the aim were north: then x is to the right of it and y along it.
    placed, _ = to_hole_frame(landings, tracks, heading=0.0, origin=(0.0, 0.0))
    finishes = run(placed, plain(Ground.FAIRWAY, firmness=firmness))
    level = hypot(landings.vx[0], landings.vy[0])
    measures = {
        "carry_yd": landings.x[0] / YARD,
        "side_yd": landings.y[0] / YARD,
        "apex_yd": landings.apex[0] / YARD,
        "landing_angle_deg": atan2(-landings.vz[0], level) / DEGREE,
        "flight_time_s": landings.time[0],
        "total_yd": finishes.y[0] / YARD,
        "total_side_yd": finishes.x[0] / YARD,
        "ball_speed_mph": launches.speed[0] / MPH,
        "launch_angle_deg": launches.angle[0] / DEGREE,
        "start_direction_deg": launches.direction[0] / DEGREE,
        "spin_rpm": launches.spin[0] / RPM,
        "axis_tilt_deg": launches.tilt[0] / DEGREE,
    }
    # Adding 0 turns -0.0 into 0.0.
    return {name: float(value) + 0.0 for name, value in measures.items()}


def shot_text(measures: dict[str, float], *, metric: bool = False) -> str:
    """Return the numbers of one drive as three lines of text."""
    unit, scale = ("m", YARD) if metric else ("yd", 1.0)
    speed, pace = ("m/s", MPH) if metric else ("mph", 1.0)

    def side(yards: float) -> str:
        return (
            "on line"
            if abs(yards) < 0.5
            else f"{abs(yards) * scale:.0f} {unit} {'right' if yards > 0 else 'left'}"
        )

    m = measures
    carry, apex, total = (m[key] * scale for key in ("carry_yd", "apex_yd", "total_yd"))
    ball = (
        f"{m['ball_speed_mph'] * pace:.1f} {speed}, launched {m['launch_angle_deg']:.1f}° up and "
        f"{m['start_direction_deg']:+.1f}° across, {m['spin_rpm']:.0f} rpm, axis {m['axis_tilt_deg']:+.1f}°"
    )
    down = f"down at {m['landing_angle_deg']:.0f}° after {m['flight_time_s']:.1f} s"
    return (
        f"ball   {ball}\n"
        f"carry  {carry:.0f} {unit}, {side(m['side_yd'])}; apex {apex:.0f} {unit}, {down}\n"
        f"total  {total:.0f} {unit}, {side(m['total_side_yd'])}"
    )
