"""`holesim shot`: flies one drive without errors."""

import json
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from holesim.app.cli.feedback import compiling, tell
from holesim.app.cli.options import WEATHER, Metric, required, with_round, within
from holesim.errors import InputError

if TYPE_CHECKING:
    from holesim.plan.round_options import RoundOptions
    from holesim.shot.impact import Launches


@with_round(*WEATHER)
def shot(
    player: Annotated[Path | None, typer.Argument(metavar="PLAYER", help="Player file (TOML).")] = None,
    *,
    strike: Annotated[str | None, typer.Option("--strike", help="Which of the player's strikes.")] = None,
    ball_speed: Annotated[float | None, typer.Option("--ball-speed", metavar="MPH")] = None,
    launch_angle: Annotated[float | None, typer.Option("--launch-angle", metavar="DEG")] = None,
    spin: Annotated[float | None, typer.Option("--spin", metavar="RPM")] = None,
    axis_tilt: Annotated[float, typer.Option("--axis-tilt", metavar="DEG")] = 0.0,
    start_direction: Annotated[float, typer.Option("--start-direction", metavar="DEG")] = 0.0,
    club_speed: Annotated[float | None, typer.Option("--club-speed", metavar="MPH")] = None,
    attack: Annotated[float, typer.Option("--attack", metavar="DEG")] = 0.0,
    path: Annotated[float, typer.Option("--path", metavar="DEG")] = 0.0,
    face: Annotated[float, typer.Option("--face", metavar="DEG")] = 0.0,
    dynamic_loft: Annotated[float | None, typer.Option("--dynamic-loft", metavar="DEG")] = None,
    toe: Annotated[float, typer.Option("--toe", metavar="MM")] = 0.0,
    high: Annotated[float, typer.Option("--high", metavar="MM")] = 0.0,
    as_json: Annotated[bool, typer.Option("--json", help="Print JSON.")] = False,
    metric: Metric = False,
    rounds: "list[RoundOptions]",
) -> None:
    """Fly one drive without errors.

    The drive is a player's, or given by what the ball or the club does. The wind is seen from the tee: from
    0 it is a head wind, from 90 it comes from the right.
    """
    from holesim.shot.flight import BALL_FLIGHTS  # noqa: PLC0415
    from holesim.shot.single_drive import fly_shot, from_ball, from_club, from_player, shot_text  # noqa: PLC0415

    launches: Launches
    if player is not None:
        from holesim.shot.club_speeds import load_player  # noqa: PLC0415

        launches = from_player(load_player(player), strike)
    elif ball_speed is not None:
        within("--ball-speed", ball_speed, 1, 250)
        angle = within("--launch-angle", required("--launch-angle", launch_angle), 0.1, 89)
        rate = within("--spin", required("--spin", spin), 0, 15000)
        within("--axis-tilt", axis_tilt, -90, 90)
        within("--start-direction", start_direction, -90, 90)
        launches = from_ball(ball_speed, angle, rate, axis_tilt, start_direction)
    elif club_speed is not None:
        within("--club-speed", club_speed, 10, 160)
        loft = within("--dynamic-loft", required("--dynamic-loft", dynamic_loft), 0, 70)
        for option, value, limit in (
            ("--attack", attack, 20),
            ("--path", path, 45),
            ("--face", face, 45),
            ("--toe", toe, 40),
            ("--high", high, 40),
        ):
            within(option, value, -limit, limit)
        launches = from_club(club_speed, attack, path, face, loft, toe, high)
    else:
        raise InputError("shot", "", "has nothing to fly", "give PLAYER, --ball-speed or --club-speed")
    (options,) = rounds
    law = BALL_FLIGHTS[options.ball_flight]
    with compiling():
        flown = fly_shot(
            launches, options.conditions.air, firmness=options.ground or "medium", aerodynamics=law
        )
    tell(json.dumps(flown, indent=1) if as_json else shot_text(flown, metric=metric))
