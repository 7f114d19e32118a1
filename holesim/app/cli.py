"""The command line: reads files and options, calls the package, and prints."""

import json
import re
import signal
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import AbstractContextManager, contextmanager
from functools import partial
from io import TextIOWrapper
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Literal, TypeVar

import typer

from holesim._version import __version__
from holesim.errors import InputError

if TYPE_CHECKING:
    from holesim.course.course import Course
    from holesim.errors import Guess
    from holesim.plan.evaluator import Conditions
    from holesim.player.player import Player
    from holesim.shot.air import Air
    from holesim.shot.impact import Launches

# Everything heavy is imported by the command that needs it, so that --help is quick.

_CAUTION = (
    "Change a swing only with a qualified coach and warm up; hit only when the landing area is clear; leave "
    "the course for lightning. Plan before the round: Rule 4.3a bars a device that recommends a line of play "
    "or a club during it. The committee's local rules prevail."
)

app = typer.Typer(
    name="holesim",
    help="Hit up or down on the driver, and where to aim: a golfer's own drives over the real hole.",
    epilog=_CAUTION,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)


_T = TypeVar("_T")

# As their modules have them, whose import `--help` need not wait for.
_Ground = Literal["soft", "medium", "firm"]
_Unmapped = Literal["rough", "heavy"]
_OutOfBounds = Literal["distance", "drop"]
_Drives = Literal["csv", "npz"]
_BallFlight = Literal["modern", "older"]
_Balls = Literal["course", "range"]
_Goal = Literal["mean", "par", "birdie"]
_Style = Literal["pocket", "coach", "page"]
_Format = Literal["stroke", "singles", "four-ball", "foursomes", "greensomes"]
_Over = Literal[
    "club-speed", "face", "spin-exponent", "wind", "fairway-width", "firmness", "ball-flight"
]  # fmt: skip

_Course = Annotated[Path, typer.Argument(metavar="COURSE", help="Course file (GeoJSON).")]
_Player = Annotated[Path, typer.Argument(metavar="PLAYER", help="Player file (TOML).")]
_Layout = Annotated[
    str | None, typer.Option("--course", metavar="NAME", help="Which course, where the file holds several.")
]
_Holes = Annotated[list[int] | None, typer.Option("--hole", metavar="N", help="This hole only; repeat.")]
_Tees = Annotated[list[str] | None, typer.Option("--tee", metavar="NAME", help="Plan from this tee; repeat.")]
_Out = Annotated[Path | None, typer.Option("--out", metavar="DIR", help="Write the plan's files here.")]
_Json = Annotated[bool, typer.Option("--json", help="Print plan.json instead of the table.")]
_GoalOption = Annotated[
    _Goal, typer.Option("--goal", help="Fewest strokes on average, or the likeliest par or birdie.")
]
_Draws = Annotated[int, typer.Option("--draws", metavar="N", help="Drives a strike, a power of two.")]
_Precision = Annotated[
    float | None,
    typer.Option("--precision", metavar="STROKES", help="Add drives until the difference is that sure."),
]
_Seed = Annotated[int, typer.Option("--seed", metavar="N", min=0, help="Same seed, same plan.")]
_Metric = Annotated[bool, typer.Option("--metric", help="Show metres.")]
_Wind = Annotated[
    list[str] | None,
    typer.Option("--wind", metavar="MPH@FROM", help="Speed and true direction; repeat to compare."),
]
_WindHeight = Annotated[
    float, typer.Option("--wind-height", metavar="FT", help="Height of the wind's speed.")
]
_Temperature = Annotated[float, typer.Option("--temperature", metavar="F", help="Air temperature.")]
_Altitude = Annotated[float, typer.Option("--altitude", metavar="FT", help="Height above the sea.")]
_GroundOption = Annotated[
    _Ground | None, typer.Option("--ground", help="How firm the turf is where the course does not say.")
]
_BallFlightOption = Annotated[
    _BallFlight, typer.Option("--ball-flight", help="A ball of today, or an older one that climbs more.")
]
_UnmappedOption = Annotated[
    _Unmapped | None, typer.Option("--unmapped", help="What lies where the course draws nothing.")
]
_DrivesOption = Annotated[
    _Drives | None, typer.Option("--drives", help="With --out: write every drive, too, in this format.")
]
_OutOption = Annotated[
    _OutOfBounds, typer.Option("--out-of-bounds", help="Stroke and distance, or Model Local Rule E-5.")
]
_Table = Annotated[
    bool,
    typer.Option("--table", help="Read what remains from a table by lie and distance, not off the hole."),
]


@app.callback(invoke_without_command=True)
def _main(
    context: typer.Context,
    *,
    version: Annotated[bool, typer.Option("--version", help="Print the version.")] = False,
) -> None:
    if version:
        typer.echo(f"holesim {__version__}")
    elif context.invoked_subcommand is None:
        typer.echo(context.get_help())


@app.command(epilog=_CAUTION)
def plan(
    course: _Course,
    player: _Player,
    *,
    layout: _Layout = None,
    hole: _Holes = None,
    tee: _Tees = None,
    out: _Out = None,
    as_json: _Json = False,
    goal: _GoalOption = "mean",
    draws: _Draws = 4096,
    precision: _Precision = None,
    seed: _Seed = 1,
    metric: _Metric = False,
    wind: _Wind = None,
    wind_height: _WindHeight = 33.0,
    temperature: _Temperature = 75.0,
    altitude: _Altitude = 0.0,
    ground: _GroundOption = None,
    ball_flight: _BallFlightOption = "modern",
    unmapped: _UnmappedOption = None,
    out_of_bounds: _OutOption = "distance",
    table: _Table = False,
    drives: _DrivesOption = None,
) -> None:
    """Plan a course for a player: for every hole which strike, aimed where, worth how much.

    From the back tees, unless --tee names others.
    """
    from holesim.app.plan_folder import plans_json, write_plans  # noqa: PLC0415
    from holesim.common.safe_files import check_folder  # noqa: PLC0415
    from holesim.plan.plan import make_plan  # noqa: PLC0415
    from holesim.reports.check_text import gaps  # noqa: PLC0415
    from holesim.reports.plan_text import plan_text, winds_text  # noqa: PLC0415

    rounds = dict.fromkeys(
        _conditions(
            _air(blowing, wind_height, temperature, altitude),
            ground, ball_flight, unmapped, out_of_bounds, by_table=table,
        )
        for blowing in wind or ["0@0"]
    )  # fmt: skip
    if out is not None:
        check_folder(out)
    elif drives is not None:
        raise InputError("--drives", "", "has nowhere to write", "add --out DIR")
    played, golfer = _loaded(course, layout, player)
    _say("missing", played.file, gaps(played))
    with _announced_compilation():
        plans = [
            make_plan(
                played,
                golfer,
                holes=hole or None,
                tees=tee or None,
                conditions=conditions,
                goal=goal,
                draws=draws,
                precision=precision,
                seed=seed,
                progress=_progress("planning"),
            )
            for conditions in rounds
        ]
    if out is not None:
        written = write_plans(plans, out, metric=metric, drives=drives)
        typer.echo(f"wrote {len(written)} files to {out}", err=True)
    if as_json:
        typer.echo(plans_json(plans).rstrip("\n"))
    elif len(plans) == 1:
        typer.echo(plan_text(plans[0], metric=metric))
    else:
        typer.echo(winds_text(plans, metric=metric))


@app.command(epilog=_CAUTION)
def demo(
    *,
    hole: _Holes = None,
    tee: _Tees = None,
    out: _Out = None,
    as_json: _Json = False,
    goal: _GoalOption = "mean",
    draws: _Draws = 4096,
    precision: _Precision = None,
    seed: _Seed = 1,
    metric: _Metric = False,
    wind: _Wind = None,
    wind_height: _WindHeight = 33.0,
    temperature: _Temperature = 75.0,
    altitude: _Altitude = 0.0,
    ground: _GroundOption = None,
    ball_flight: _BallFlightOption = "modern",
    unmapped: _UnmappedOption = None,
    out_of_bounds: _OutOption = "distance",
    table: _Table = False,
    drives: _DrivesOption = None,
) -> None:
    """Plan the built-in course for a built-in player, both invented; no files needed."""
    from holesim.data.examples import COURSE, PLAYER, find  # noqa: PLC0415

    plan(
        find(COURSE),
        find(PLAYER),
        hole=hole,
        tee=tee,
        out=out,
        as_json=as_json,
        goal=goal,
        draws=draws,
        precision=precision,
        seed=seed,
        metric=metric,
        wind=wind,
        wind_height=wind_height,
        temperature=temperature,
        altitude=altitude,
        ground=ground,
        ball_flight=ball_flight,
        unmapped=unmapped,
        out_of_bounds=out_of_bounds,
        table=table,
        drives=drives,
    )


@app.command()
def check(
    files: Annotated[
        list[Path], typer.Argument(metavar="FILE...", help="Courses, and players, teams and notes (.toml).")
    ],
    *,
    out: Annotated[
        Path | None, typer.Option("--out", metavar="DIR", help="Draw the course and each hole here.")
    ] = None,
    layout: _Layout = None,
    metric: _Metric = False,
) -> None:
    """Say what was found in a course, a player, a team or notes, what was guessed, and what is missing.

    The exit code is 0 if nothing had to be guessed, 1 if something had, 2 if a file cannot be used.
    """
    from holesim.app.plan_folder import write_charts  # noqa: PLC0415
    from holesim.common.safe_files import check_folder  # noqa: PLC0415
    from holesim.common.toml_tables import LARGEST  # noqa: PLC0415
    from holesim.course.course_file import load_course  # noqa: PLC0415
    from holesim.course.notes_file import load_notes  # noqa: PLC0415
    from holesim.errors import read_input  # noqa: PLC0415
    from holesim.reports.check_text import course_text, gaps, notes_text, player_text, team_text  # noqa: PLC0415
    from holesim.shot.club_speeds import load_player  # noqa: PLC0415
    from holesim.team.team_file import load_team  # noqa: PLC0415

    if out is not None:
        check_folder(out)
        if sum(file.suffix != ".toml" for file in files) != 1:
            raise InputError("--out", "", "draws one course at a time", "give one course file")
    guessed = False
    for number, file in enumerate(files):
        if number:
            typer.echo()
        content = read_input(file, largest=LARGEST) if file.suffix == ".toml" else b""
        if b"[[holes]]" in content:
            notes = load_notes(file)
            typer.echo(notes_text(notes))
            guessed |= bool(notes.guesses)
        elif re.search(rb"^players *=", content, re.MULTILINE):
            team = load_team(file)
            typer.echo(team_text(team))
            guessed |= any(player.assumed for player in (*team.players, *team.opponents))
        elif file.suffix == ".toml":
            player = load_player(file)
            typer.echo(player_text(player))
            guessed |= bool(player.assumed)
        else:
            course = load_course(file, name=layout)
            typer.echo(course_text(course, metric=metric))
            guessed |= bool(course.guesses or gaps(course))
            if out is not None:
                written = write_charts(course, out, metric=metric)
                typer.echo(f"wrote {len(written)} files to {out}", err=True)
    raise typer.Exit(int(guessed))


@app.command()
def draw(
    notes: Annotated[Path, typer.Argument(metavar="NOTES", help="Yardage-book notes (TOML).")],
    *,
    out: Annotated[
        Path | None, typer.Option("--out", metavar="COURSE", help="Write the course here.")
    ] = None,
) -> None:
    """Draw a course file from yardage-book notes: to --out, or else to standard output."""
    from holesim.common.safe_files import write_text  # noqa: PLC0415
    from holesim.course.draw_from_notes import draw_course  # noqa: PLC0415
    from holesim.course.geojson import to_geojson  # noqa: PLC0415
    from holesim.course.notes_file import load_notes  # noqa: PLC0415

    booklet = load_notes(notes)
    text = to_geojson(draw_course(booklet), booklet.latitude, booklet.longitude)
    _say("guessed", booklet.file, booklet.guesses)
    if out is None:
        typer.echo(text.rstrip("\n"))
        return
    if out.exists() and out.samefile(notes):
        raise InputError("--out", "", f"{out} is the notes themselves", "give another file")
    write_text(out, text)
    typer.echo(f"wrote {out}", err=True)


@app.command(epilog=_CAUTION)
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
    metric: _Metric = False,
    wind: Annotated[
        str | None, typer.Option("--wind", metavar="MPH@FROM", help="0 is a head wind, 90 from the right.")
    ] = None,
    wind_height: _WindHeight = 33.0,
    temperature: _Temperature = 75.0,
    altitude: _Altitude = 0.0,
    ground: _GroundOption = None,
    ball_flight: _BallFlightOption = "modern",
) -> None:
    """Fly one drive without errors: of a player, or from what the ball or the club does."""
    from holesim.shot.flight import BALL_FLIGHTS  # noqa: PLC0415
    from holesim.shot.single_drive import fly_shot, from_ball, from_club, from_player, shot_text  # noqa: PLC0415

    launches: Launches
    if player is not None:
        from holesim.shot.club_speeds import load_player  # noqa: PLC0415

        launches = from_player(load_player(player), strike)
    elif ball_speed is not None:
        _within("--ball-speed", ball_speed, 1, 250)
        angle = _within("--launch-angle", _required("--launch-angle", launch_angle), 0.1, 89)
        rate = _within("--spin", _required("--spin", spin), 0, 15000)
        _within("--axis-tilt", axis_tilt, -90, 90)
        _within("--start-direction", start_direction, -90, 90)
        launches = from_ball(ball_speed, angle, rate, axis_tilt, start_direction)
    elif club_speed is not None:
        _within("--club-speed", club_speed, 10, 160)
        loft = _within("--dynamic-loft", _required("--dynamic-loft", dynamic_loft), 0, 70)
        for option, value, limit in (
            ("--attack", attack, 20),
            ("--path", path, 45),
            ("--face", face, 45),
            ("--toe", toe, 40),
            ("--high", high, 40),
        ):
            _within(option, value, -limit, limit)
        launches = from_club(club_speed, attack, path, face, loft, toe, high)
    else:
        raise InputError("shot", "", "has nothing to fly", "give PLAYER, --ball-speed or --club-speed")
    air = _air(wind, wind_height, temperature, altitude)
    with _announced_compilation():
        flown = fly_shot(launches, air, firmness=ground or "medium", aerodynamics=BALL_FLIGHTS[ball_flight])
    typer.echo(json.dumps(flown, indent=1) if as_json else shot_text(flown, metric=metric))


@app.command(epilog=_CAUTION)
def measure(
    shots: Annotated[Path, typer.Argument(metavar="SHOTS", help="Measured drives (CSV).")],
    *,
    out: Annotated[Path, typer.Option("--out", metavar="PLAYER", help="Write the player file here.")],
    like: Annotated[
        Path | None, typer.Option("--like", metavar="PLAYER", help="A player file that says who it is.")
    ] = None,
    name: Annotated[str | None, typer.Option("--name", help="Who it is, without --like.")] = None,
    hand: Annotated[Literal["right", "left"], typer.Option("--hand", help="Without --like.")] = "right",
    sex: Annotated[Literal["man", "woman"] | None, typer.Option("--sex", help="Without --like.")] = None,
    handicap: Annotated[
        float | None, typer.Option("--handicap", help="Handicap index, without --like; plus is negative.")
    ] = None,
    balls: Annotated[
        _Balls | None, typer.Option("--balls", help="The player's own, or off the range: direction only.")
    ] = None,
    options: Annotated[
        Path | None, typer.Option("--options", metavar="FILE", help="Headers and units (TOML).")
    ] = None,
    usual: Annotated[
        Literal["up", "level", "down"] | None,
        typer.Option("--usual", help="The driver strike that is hit when nothing asks for another."),
    ] = None,
    seed: _Seed = 1,
    metric: _Metric = False,
) -> None:
    """Fit a player to drives measured on the range: strikes, spread, and how surely they are known."""
    from holesim.common.safe_files import write_text  # noqa: PLC0415
    from holesim.measure.drives_table import load_measured  # noqa: PLC0415
    from holesim.measure.measure import described, fitted_player, measure, player_toml  # noqa: PLC0415
    from holesim.pictures.measure_picture import save_measured  # noqa: PLC0415
    from holesim.reports.measure_text import measure_text  # noqa: PLC0415
    from holesim.shot.club_speeds import load_player_file  # noqa: PLC0415

    drives = load_measured(shots, options=options, balls=balls)
    if like is not None:
        golfer, _ = load_player_file(like)
    else:
        golfer = described(
            drives,
            _required("--name", name),
            hand,
            _required("--sex", sex),
            _required("--handicap", handicap),
        )
    with _announced_compilation():
        found = measure(drives, golfer, usual=usual, seed=seed)
    text = player_toml(found, golfer)
    fitted = fitted_player(found, text)

    def draw_drives(folder: Path) -> None:
        save_measured(found, fitted, folder / out.with_suffix(".png").name, metric=metric)

    written = write_text(out, text, draw_drives)
    typer.echo(measure_text(found))
    typer.echo(f"wrote {' and '.join(path.name for path in written)} in {out.parent}", err=True)


_FoundOut = Annotated[
    Path | None, typer.Option("--out", metavar="DIR", help="Write the numbers (JSON) and a picture here.")
]
_FoundJson = Annotated[bool, typer.Option("--json", help="Print the JSON instead of the words.")]
_OneWind = Annotated[
    str | None, typer.Option("--wind", metavar="MPH@FROM", help="Speed and true direction it comes from.")
]


@app.command(epilog=_CAUTION)
def tipping(
    course: _Course,
    player: _Player,
    *,
    over: Annotated[_Over, typer.Option("--over", help="What changes, the rest staying as it is.")],
    layout: _Layout = None,
    hole: Annotated[
        int | None, typer.Option("--hole", metavar="N", help="Ask of this hole; else of one strike all day.")
    ] = None,
    tee: Annotated[str | None, typer.Option("--tee", metavar="NAME", help="From this tee.")] = None,
    out: _FoundOut = None,
    as_json: _FoundJson = False,
    draws: _Draws = 4096,
    seed: _Seed = 1,
    metric: _Metric = False,
    wind: _OneWind = None,
    wind_height: _WindHeight = 33.0,
    temperature: _Temperature = 75.0,
    altitude: _Altitude = 0.0,
    ground: _GroundOption = None,
    ball_flight: _BallFlightOption = "modern",
    unmapped: _UnmappedOption = None,
    out_of_bounds: _OutOption = "distance",
    table: _Table = False,
) -> None:
    """Find where another way to hit the driver becomes the better one, as one thing changes."""
    from holesim.common.safe_files import check_folder, json_text, write_found  # noqa: PLC0415
    from holesim.pictures.tipping_picture import save_tipping  # noqa: PLC0415
    from holesim.reports.tipping_text import tipping_dict, tipping_text  # noqa: PLC0415
    from holesim.study.tipping import tipping as find_tipping  # noqa: PLC0415

    conditions = _conditions(
        _air(wind, wind_height, temperature, altitude),
        ground, ball_flight, unmapped, out_of_bounds, by_table=table,
    )  # fmt: skip
    if out is not None:
        check_folder(out)
    played, golfer = _loaded(course, layout, player)
    with _announced_compilation():
        found = find_tipping(
            played, golfer, over, hole=hole, tee=tee, conditions=conditions, draws=draws, seed=seed,
            progress=_progress("looking"),
        )  # fmt: skip
    if out is not None:
        draw = partial(save_tipping, found, metric=metric)
        written = write_found("tipping", tipping_dict(found), out, draw)
        typer.echo(f"wrote {len(written)} files to {out}", err=True)
    typer.echo(json_text(tipping_dict(found)).rstrip("\n") if as_json else tipping_text(found, metric=metric))


@app.command(epilog=_CAUTION)
def practice(
    course: _Course,
    player: _Player,
    *,
    layout: _Layout = None,
    hole: _Holes = None,
    tee: Annotated[str | None, typer.Option("--tee", metavar="NAME", help="From these tees.")] = None,
    as_json: _FoundJson = False,
    draws: _Draws = 4096,
    seed: _Seed = 1,
    wind: _OneWind = None,
    wind_height: _WindHeight = 33.0,
    temperature: _Temperature = 75.0,
    altitude: _Altitude = 0.0,
    ground: _GroundOption = None,
    ball_flight: _BallFlightOption = "modern",
    unmapped: _UnmappedOption = None,
    out_of_bounds: _OutOption = "distance",
    table: _Table = False,
) -> None:
    """Say what changes in a player's driving would be worth on a course, and which error costs most."""
    from holesim.common.safe_files import json_text  # noqa: PLC0415
    from holesim.reports.practice_text import practice_text  # noqa: PLC0415
    from holesim.study.practice import practice as find_practice  # noqa: PLC0415

    conditions = _conditions(
        _air(wind, wind_height, temperature, altitude),
        ground, ball_flight, unmapped, out_of_bounds, by_table=table,
    )  # fmt: skip
    played, golfer = _loaded(course, layout, player)
    with _announced_compilation():
        found = find_practice(
            played, golfer, holes=hole or None, tee=tee, conditions=conditions, draws=draws, seed=seed,
            progress=_progress("practising"),
        )  # fmt: skip
    typer.echo(json_text(found.to_dict()).rstrip("\n") if as_json else practice_text(found))


@app.command(epilog=_CAUTION)
def review(
    plan: Annotated[Path, typer.Argument(metavar="PLAN", help="The plan.json that was played by.")],
    played: Annotated[Path, typer.Argument(metavar="ROUND", help="What was played (CSV), a row a drive.")],
    *,
    player: Annotated[
        Path | None, typer.Option("--player", metavar="PLAYER", help="With --out: what this file has learnt.")
    ] = None,
    out: _FoundOut = None,
    as_json: _FoundJson = False,
    seed: _Seed = 1,
) -> None:
    """Hold a round against its plan: were finishes and scores as likely, and what were the choices worth."""
    from holesim.common.safe_files import check_folder, json_text, write_found  # noqa: PLC0415
    from holesim.pictures.review_picture import save_review  # noqa: PLC0415
    from holesim.plan.plan_file import load_plan  # noqa: PLC0415
    from holesim.reports.review_text import review_text  # noqa: PLC0415
    from holesim.shot.club_speeds import load_player_file  # noqa: PLC0415
    from holesim.study.review import player_after  # noqa: PLC0415
    from holesim.study.review import review as hold_against  # noqa: PLC0415
    from holesim.study.round_file import load_round  # noqa: PLC0415

    if out is not None:
        check_folder(out)
    elif player is not None:
        raise InputError("--player", "", "has nowhere to write", "add --out DIR")
    planned, sha256 = load_plan(plan)
    drives, unplanned = load_round(played, planned)
    golfer = None if player is None else load_player_file(player)[0]
    found = hold_against(
        drives, unplanned, planned.probabilities, course=planned.course, player=planned.player,
        inputs={plan.name: sha256}, draws=planned.draws, goal=planned.options.goal, seed=seed,
    )  # fmt: skip
    learnt = None if golfer is None else player_after(golfer, found.levels["side"])
    if golfer is not None and learnt is None:
        typer.echo("holesim: too few drives with total_yd and side_yd to learn from", err=True)

    def draw(folder: Path) -> None:
        save_review(found, folder)
        if learnt is not None:
            (folder / "player.toml").write_text(learnt, encoding="utf-8")

    if out is not None:
        written = write_found("review", found.to_dict(), out, draw)
        typer.echo(f"wrote {len(written)} files to {out}", err=True)
    typer.echo(json_text(found.to_dict()).rstrip("\n") if as_json else review_text(found))


@app.command(epilog=_CAUTION)
def card(
    plan: Annotated[list[Path], typer.Argument(metavar="PLAN…", help="A plan.json, or one for each wind.")],
    *,
    style: Annotated[_Style, typer.Option("--style", help="For a pocket, a coach, or a browser.")],
    out: Annotated[Path, typer.Option("--out", metavar="FILE", help="A PDF, or HTML for a browser.")],
    tipping: Annotated[
        list[Path] | None,
        typer.Option("--tipping", metavar="FILE", help="Also say what this tipping.json found; repeat."),
    ] = None,
    metric: _Metric = False,
) -> None:
    """Make what people hold in their hands from a plan file; nothing is worked out again."""
    from holesim.common.safe_files import write_file  # noqa: PLC0415
    from holesim.handouts.coach_sheet import write_coach  # noqa: PLC0415
    from holesim.handouts.pocket_card import write_pocket  # noqa: PLC0415
    from holesim.handouts.web_page import write_page  # noqa: PLC0415
    from holesim.plan.plan_file import gathered  # noqa: PLC0415
    from holesim.study.tipping_file import load_tipping  # noqa: PLC0415

    if tipping and style == "pocket":
        raise InputError(
            "--tipping", "", "has no place on a pocket card", "make the coach's sheet or the page"
        )
    plans = gathered(plan)
    found = [load_tipping(path, plans[0]) for path in tipping or ()]
    makers: dict[str, Callable[..., None]] = {
        "pocket": write_pocket,
        "coach": partial(write_coach, found=found),
        "page": partial(write_page, found=found),
    }
    write_file(out, lambda folder: makers[style](plans, folder / out.name, metric=metric))
    typer.echo(f"wrote {out}", err=True)


@app.command(epilog=_CAUTION)
def team(
    course: _Course,
    team: Annotated[Path, typer.Argument(metavar="TEAM", help="Team file (TOML).")],
    *,
    format_: Annotated[_Format, typer.Option("--format", help="What is played.")],
    net: Annotated[bool, typer.Option("--net", help="Handicap strokes count.")] = False,
    count: Annotated[
        int | None, typer.Option("--count", metavar="M", help="Stroke play: so many totals count.")
    ] = None,
    layout: _Layout = None,
    out: Annotated[
        Path | None, typer.Option("--out", metavar="DIR", help="Write the captain's files here.")
    ] = None,
    as_json: _FoundJson = False,
    draws: _Draws = 1024,
    seed: _Seed = 1,
    wind: _OneWind = None,
    wind_height: _WindHeight = 33.0,
    temperature: _Temperature = 75.0,
    altitude: _Altitude = 0.0,
    ground: _GroundOption = None,
    ball_flight: _BallFlightOption = "modern",
    unmapped: _UnmappedOption = None,
    out_of_bounds: _OutOption = "distance",
) -> None:
    """Plan a team's round: pairs, order, who drives where, and each tee's strike."""
    from holesim.common.safe_files import check_folder, json_text, write_found  # noqa: PLC0415
    from holesim.course.course_file import load_course  # noqa: PLC0415
    from holesim.reports.team_text import team_text  # noqa: PLC0415
    from holesim.team.planner import plan_team  # noqa: PLC0415
    from holesim.team.team_file import load_team  # noqa: PLC0415

    if out is not None:
        check_folder(out)
    where, who = load_course(course, name=layout), load_team(team)
    _say("guessed", where.file, where.guesses)
    air = _air(wind, wind_height, temperature, altitude)
    conditions = _conditions(air, ground, ball_flight, unmapped, out_of_bounds, by_table=False)
    with _announced_compilation():
        found = plan_team(
            where, who, format_, net=net, count=count, conditions=conditions,
            draws=draws, seed=seed, progress=_progress("playing"),
        )  # fmt: skip
    if out is not None:
        from holesim.handouts.captain_page import write_captains  # noqa: PLC0415 - only this needs matplotlib

        written = write_found("team", found.to_dict(), out, lambda folder: write_captains(found, folder))
        typer.echo(f"wrote {len(written)} files to {out}", err=True)
    typer.echo(json_text(found.to_dict()).rstrip("\n") if as_json else team_text(found))


@app.command(epilog=_CAUTION)
def batch(
    jobs: Annotated[Path, typer.Argument(metavar="JOBS", help="Courses and players (TOML).")],
    *,
    out: Annotated[Path, typer.Option("--out", metavar="DIR", help="Plans go here; those there stay.")],
    dask: Annotated[
        str | None, typer.Option("--dask", metavar="ADDRESS", help="Work on this Dask cluster.")
    ] = None,
) -> None:
    """Plan many players on many courses; begun again, it goes on where it stopped."""
    from holesim.app.batch import load_jobs, run_batch  # noqa: PLC0415

    found = run_batch(load_jobs(jobs), out, dask=dask, progress=_progress("planning"))
    for fault in found.failed:
        typer.echo(f"holesim: {fault}", err=True)
    typer.echo(f"{found.before} plans were there, {found.made} made, {len(found.failed)} failed")
    if found.failed:
        raise typer.Exit(2)


@app.command(epilog=_CAUTION)
def bench(
    *,
    out: Annotated[
        Path | None, typer.Option("--out", metavar="DIR", help="Write bench.json and two pictures here.")
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print bench.json instead of the table.")] = False,
) -> None:
    """Measure how fast and how true the kernels are, against general-purpose references: some minutes."""
    from holesim.bench.bench import bench_text, make_bench  # noqa: PLC0415
    from holesim.bench.bench_picture import write_bench  # noqa: PLC0415
    from holesim.common.safe_files import check_folder  # noqa: PLC0415

    if out is not None:
        check_folder(out)
    with _announced_compilation():
        measured = make_bench(progress=lambda part: typer.echo(f"measuring {part}", err=True))
    if out is not None:
        written = write_bench(measured, out)
        typer.echo(f"wrote {len(written)} files to {out}", err=True)
    content = json.dumps(measured.to_dict(), indent=1, ensure_ascii=False)
    typer.echo(content if as_json else bench_text(measured))


def _say(what: str, file: str, guesses: "Sequence[Guess]") -> None:
    for guess in guesses:
        typer.echo(f"holesim: {what}: {file}: {guess}", err=True)


def _required(option: str, value: _T | None) -> _T:
    if value is None:
        raise InputError(option, "", "is missing", "add it")
    return value


def _within(option: str, value: float, low: float, high: float) -> float:
    if not low <= value <= high:
        raise InputError(option, "", f"{value:g} is not from {low:g} to {high:g}", "correct it")
    return value


def _air(wind: str | None, wind_height: float, temperature: float, altitude: float) -> "Air":
    from holesim.shot.air import make_air  # noqa: PLC0415

    speed, direction = 0.0, 0.0
    if wind is not None:
        try:
            first, _, second = wind.partition("@")
            speed, direction = float(first), float(second)
        except ValueError:
            raise InputError(
                "--wind", "", f"{wind!r:.40} is not MPH@FROM", "give 12@250, say: from 250° true"
            ) from None
        _within("--wind", speed, 0, 80)
        _within("--wind", direction, -360, 360)
    return make_air(
        temperature_f=_within("--temperature", temperature, -20, 130),
        altitude_ft=_within("--altitude", altitude, -1500, 15000),
        wind_mph=speed,
        wind_from_deg=direction % 360 if speed else 0.0,
        wind_height_ft=_within("--wind-height", wind_height, 1, 1000),
    )


def _conditions(
    air: "Air",
    ground: _Ground | None,
    ball_flight: _BallFlight,
    unmapped: _Unmapped | None,
    out_of_bounds: _OutOfBounds,
    *,
    by_table: bool,
) -> "Conditions":
    from holesim.plan.evaluator import Conditions  # noqa: PLC0415
    from holesim.shot.flight import BALL_FLIGHTS  # noqa: PLC0415

    return Conditions(
        air=air,
        ball=None if ball_flight == "modern" else BALL_FLIGHTS[ball_flight],
        firmness=ground,
        unmapped=unmapped,
        out_of_bounds=out_of_bounds,
        by_table=by_table,
    )


def _loaded(course: Path, layout: str | None, player: Path) -> "tuple[Course, Player]":
    """Read a course and a player, and say what was guessed."""
    from holesim.course.course_file import load_course  # noqa: PLC0415
    from holesim.shot.club_speeds import load_player  # noqa: PLC0415

    played, golfer = load_course(course, name=layout), load_player(player)
    _say("guessed", played.file, played.guesses)
    return played, golfer


def _progress(what: str) -> Any:  # noqa: ANN401 - a callback of two integers
    """Return a callback that shows work on stderr: a line that rewrites itself, or one line when piped."""
    live = sys.stderr.isatty()

    def show(done: int, total: int) -> None:
        if live:
            end = "\n" if done == total else ""
            sys.stderr.write(f"\r{what}: {done} of {total} steps{end}")
            sys.stderr.flush()
        elif done == 0:
            typer.echo(f"{what}: {total} steps", err=True)

    return show


def _announced_compilation() -> AbstractContextManager[Any]:
    """Return a context in which it is said once if kernels must be compiled, as on a machine's first plan."""
    from numba.core import event  # noqa: PLC0415

    class Announcer(event.Listener):
        said = False

        def on_start(self, _: event.Event) -> None:
            if not self.said:
                typer.echo("compiling, once on this machine: about half a minute", err=True)
            self.said = True

        def on_end(self, _: event.Event) -> None:
            pass

    return event.install_listener("numba:compile", Announcer())


def main() -> None:
    """Run the command line; a mistake of the user's is one line and exit code 2."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors="replace")  # a name may hold what the terminal's encoding does not
    with _stoppable() as stopped:
        try:
            code = app(standalone_mode=False)
        except InputError as error:
            _fail(str(error))
        except typer.TyperException as error:
            _fail(_usage(error))
        except typer.Abort:
            sys.exit(130)
        except BrokenPipeError:
            sys.exit(1)
        except Exception as error:  # noqa: BLE001 - our bug, said as such
            if not stopped:
                typer.echo(f"holesim: this is a bug: {type(error).__name__}: {error}", err=True)
                sys.exit(70)
    if stopped:
        sys.exit(128 + stopped[0])
    sys.exit(code if isinstance(code, int) else 0)


@contextmanager
def _stoppable() -> Iterator[list[int]]:
    """Leave by way of every `finally` when told to stop, so that nothing half-written is left.

    Yields the signals that came: compiled code may swallow what is raised while it calls back, or make
    another error of it.
    """
    stopped: list[int] = []

    def stop(number: int, _: object) -> None:
        stopped.append(number)
        sys.unraisablehook = lambda _: None
        if len(stopped) == 1:  # more must not break off the clearing up
            sys.exit(128 + number)

    hook = sys.unraisablehook
    before = {number: signal.signal(number, stop) for number in (signal.SIGINT, signal.SIGTERM)}
    try:
        yield stopped
    finally:
        sys.unraisablehook = hook
        for number, handler in before.items():
            signal.signal(number, handler)


def _usage(error: typer.TyperException) -> str:
    message = " ".join(str(getattr(error, "format_message", lambda: error)()).split())
    message = message.replace("Value error, ", "")  # a library's own words
    return f"{message.rstrip('.')}. See holesim --help."


def _fail(message: str) -> None:
    typer.echo(f"holesim: {message}", err=True)
    sys.exit(2)
