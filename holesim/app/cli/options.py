"""The options that several commands share; those of a round become one record."""

import inspect
from collections.abc import Callable, Sequence
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Final, Literal, TypeVar

import typer

from holesim.errors import InputError
from holesim.pictures.paper import Paper

if TYPE_CHECKING:
    from holesim.plan.round_options import RoundOptions

_T = TypeVar("_T")

CourseFile = Annotated[Path, typer.Argument(metavar="COURSE", help="Course file (GeoJSON).")]
PlayerFile = Annotated[Path, typer.Argument(metavar="PLAYER", help="Player file (TOML).")]
CourseName = Annotated[
    str | None, typer.Option("--course", metavar="NAME", help="Which course, where the file holds several.")
]
Holes = Annotated[list[int] | None, typer.Option("--hole", metavar="N", help="This hole only; repeat.")]
OneTee = Annotated[
    str | None, typer.Option("--tee", metavar="NAME", help="From these tees; else the player's.")
]
PaperSize = Annotated[Paper, typer.Option("--paper", help="What PDFs are printed on.")]
Metric = Annotated[bool, typer.Option("--metric", help="Show metres.")]
Seed = Annotated[int, typer.Option("--seed", metavar="N", min=0, help="Same seed, same answer.")]
FoundOut = Annotated[
    Path | None, typer.Option("--out", metavar="DIR", help="Write the numbers (JSON) and a picture here.")
]
FoundJson = Annotated[bool, typer.Option("--json", help="Print the JSON instead of the words.")]

_HELP_WIND: Final = "Speed and true direction it comes from"
_ROUND: Final[dict[str, tuple[Any, object]]] = {
    "goal": (
        Annotated[
            Literal["mean", "par", "birdie"],
            typer.Option("--goal", help="Fewest strokes on average, or the likeliest par or birdie."),
        ],
        "mean",
    ),
    "draws": (
        Annotated[int, typer.Option("--draws", metavar="N", help="Drives a strike, a power of two.")],
        4096,
    ),
    "precision": (
        Annotated[
            float | None,
            typer.Option("--precision", metavar="STROKES", help="Add drives until the answer is that sure."),
        ],
        None,
    ),
    "seed": (Seed, 1),
    "winds": (
        Annotated[
            list[str] | None,
            typer.Option("--wind", metavar="MPH@FROM", help=f"{_HELP_WIND}; repeat to compare."),
        ],
        None,
    ),
    "wind": (
        Annotated[str | None, typer.Option("--wind", metavar="MPH@FROM", help=f"{_HELP_WIND}.")],
        None,
    ),
    "wind_height": (
        Annotated[
            float, typer.Option("--wind-height", metavar="FT", help="Height that the wind is stated for.")
        ],
        33.0,
    ),
    "temperature": (
        Annotated[float, typer.Option("--temperature", metavar="F", help="Air temperature.")],
        75.0,
    ),
    "altitude": (
        Annotated[float, typer.Option("--altitude", metavar="FT", help="Height above the sea.")],
        0.0,
    ),
    "ground": (
        Annotated[
            Literal["soft", "medium", "firm"] | None,
            typer.Option("--ground", help="How firm the turf is; else as the course says."),
        ],
        None,
    ),
    "ball_flight": (
        Annotated[
            Literal["modern", "older"],
            typer.Option("--ball-flight", help="A ball of today, or an older one that climbs more."),
        ],
        "modern",
    ),
    "unmapped": (
        Annotated[
            Literal["rough", "heavy"] | None,
            typer.Option("--unmapped", help="What lies where the course draws nothing."),
        ],
        None,
    ),
    "out_of_bounds": (
        Annotated[
            Literal["distance", "drop"],
            typer.Option("--out-of-bounds", help="Stroke and distance, or Model Local Rule E-5."),
        ],
        "distance",
    ),
    "table": (
        Annotated[
            bool,
            typer.Option("--table", help="Expected strokes by lie and distance alone, not from the hole."),
        ],
        False,
    ),
}
"""Each option of a round: its type and help on the command line, and its default."""

WEATHER: Final = ("wind", "wind_height", "temperature", "altitude", "ground", "ball_flight")
ROUND: Final = ("draws", "seed", *WEATHER, "unmapped", "out_of_bounds", "table")

_NAMES: Final = {
    "wind_height": "wind_height_ft",
    "temperature": "temperature_f",
    "altitude": "altitude_ft",
}
"""Fields of `RoundOptions` whose unit the command line leaves out."""


def with_round(*names: str, **usual: object) -> Callable[[Callable[..., _T]], Callable[..., _T]]:
    """Give a command options of a round, which it takes as `rounds`: a record for each wind.

    Parameters
    ----------
    names
        The options, of those in `_ROUND`.
    usual
        Defaults of some of them, where they are not those in `_ROUND`.
    """

    def given(command: Callable[..., _T]) -> Callable[..., _T]:
        @wraps(command)
        def called(**values: Any) -> _T:  # noqa: ANN401 - whatever the options hold
            return command(rounds=_rounds({name: values.pop(name) for name in names}), **values)

        own = [p for p in inspect.signature(command).parameters.values() if p.name != "rounds"]
        more = [
            inspect.Parameter(
                name,
                inspect.Parameter.KEYWORD_ONLY,
                annotation=_ROUND[name][0],
                default=usual.get(name, _ROUND[name][1]),
            )
            for name in names
        ]
        return _taking(called, [*own, *more])

    return given


def with_files(
    command: Callable[..., _T], leave: Sequence[str], **files: Callable[[], Path]
) -> Callable[..., _T]:
    """Return a command whose files are found for it, without the options in `leave`."""

    @wraps(command)
    def called(**values: Any) -> _T:  # noqa: ANN401 - whatever the options hold
        return command(**{name: found() for name, found in files.items()}, **values)

    own = inspect.signature(command).parameters.values()
    return _taking(called, [p for p in own if p.name not in (*files, *leave)])


def _taking(command: Callable[..., _T], parameters: Sequence[inspect.Parameter]) -> Callable[..., _T]:
    """Give a command the signature with these parameters, and return it."""
    command.__signature__ = inspect.Signature(parameters)  # type: ignore[attr-defined]
    command.__annotations__ = {p.name: p.annotation for p in parameters}
    return command


def _rounds(values: dict[str, Any]) -> "list[RoundOptions]":
    """Return the options of a round as one record for each wind."""
    from holesim.plan.round_options import RoundOptions  # noqa: PLC0415

    winds = values.pop("winds", None) or [values.pop("wind", None)]
    fields: dict[str, Any] = {_NAMES.get(name, name): value for name, value in values.items()}
    return list(dict.fromkeys(RoundOptions(**{**fields, **_parse_wind(wind)}) for wind in winds))


def _parse_wind(wind: str | None) -> dict[str, float]:
    """Return a wind, typed as MPH@FROM, by the names of its fields."""
    if wind is None:
        return {}
    try:
        first, _, second = wind.partition("@")
        speed, direction = float(first), float(second)
    except ValueError:
        raise InputError(
            "--wind", "", f"{wind!r:.40} is not MPH@FROM", "give 12@250, say: from 250° true"
        ) from None
    return {"wind_mph": speed, "wind_from_deg": direction % 360 if -360 <= direction <= 360 else direction}


def as_option(error: InputError) -> str:
    """Return an error as one line, with an argument of the package named as its option."""
    if error.file:
        return str(error)
    short = {"wind_mph": "wind", "wind_from_deg": "wind", **{full: name for name, full in _NAMES.items()}}
    option = short.get(error.place, error.place).replace("_", "-")
    return str(InputError(f"--{option}", "", error.problem, error.remedy))


def required(option: str, value: _T | None) -> _T:
    """Return the value of an option; raise an `InputError` where it was not given."""
    if value is None:
        raise InputError(option, "", "is missing", "add it")
    return value


def within(option: str, value: float, low: float, high: float) -> float:
    """Return the value of an option; raise an `InputError` where it is not from `low` to `high`."""
    if not low <= value <= high:
        raise InputError(option, "", f"{value:g} is not from {low:g} to {high:g}", "correct it")
    return value
