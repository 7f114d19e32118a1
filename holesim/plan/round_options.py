"""The options of a round: weather, ground, rules, goal, and how many drives."""

from typing import Annotated, Any, Final, Literal

from pydantic import (
    Field,
    ModelWrapValidatorHandler,
    ValidationError,
    ValidatorFunctionWrapHandler,
    WrapValidator,
    model_validator,
)

from holesim.common.toml_tables import Table, explain
from holesim.course.course import Firmness
from holesim.errors import InputError
from holesim.plan.conditions import FEWEST_DRAWS, MOST_DRAWS, Conditions
from holesim.plan.goal import GoalName
from holesim.shot.air import make_air
from holesim.shot.flight import BALL_FLIGHTS
from holesim.shot.relief import OutOfBounds
from holesim.units import DEGREE, FOOT, MPH

BallFlight = Literal["modern", "older"]
"""A ball of today, its drag uncertain within what published flights leave open, or an older one."""


def _below_options(values: Any, handler: ValidatorFunctionWrapHandler) -> Any:  # noqa: ANN401
    try:
        return handler(values)
    except InputError as error:
        raise InputError(error.file, f"options.{error.place}", error.problem, error.remedy) from None


BELOW_OPTIONS: Final = WrapValidator(_below_options)
"""Names, in messages, the table `options` of a file in which options stand."""


class RoundOptions(Table):
    """Everything about a round but its course, its player and its tees.

    Attributes
    ----------
    wind_mph, wind_from_deg, wind_height_ft
        Wind speed [mph], the true direction it comes from [deg], and the height it is stated for [ft].
    temperature_f, altitude_ft
        Air temperature [°F], and height of the course above the sea [ft].
    ground
        How firm the turf is; by default as the course states it.
    ball_flight
        Which ball-flight formula: a ball of today, or an older one that climbs more.
    unmapped
        What lies where the course draws nothing; by default as the course implies.
    out_of_bounds
        "distance" for stroke and distance (Rule 18.2), "drop" for Model Local Rule E-5.
    table
        Whether expected strokes come from a table by lie and distance instead of from the hole.
    goal
        What strike and aim are chosen for: the fewest strokes on average ("mean"), or the greatest chance of
        a "par" or a "birdie", or better. The strokes that follow are played for the fewest on average.
    draws
        Drives scored for each strike: a power of two.
    precision
        Greatest half-width, from the sampling of drives, of the interval of what the best strike saves over
        the next [strokes, or chance]: a tee's drives are doubled until it is reached. None adds no drives.
    seed
        The same seed and inputs give the same bytes.

    Raises
    ------
    InputError
        If a value makes no sense; `place` is the argument's name.

    Examples
    --------
    >>> RoundOptions(wind_mph=12, wind_from_deg=250, ground="firm").draws
    4096
    >>> RoundOptions(draws=1000)
    Traceback (most recent call last):
    holesim.errors.InputError: draws: 1000 is not a power of two from 256 to 131072; give 4096, say
    """

    wind_mph: Annotated[float, Field(ge=0, le=80)] = 0.0
    wind_from_deg: Annotated[float, Field(ge=0, le=360)] = 0.0
    wind_height_ft: Annotated[float, Field(ge=1, le=1000)] = 33.0
    temperature_f: Annotated[float, Field(ge=-20, le=130)] = 75.0
    altitude_ft: Annotated[float, Field(ge=-1500, le=15000)] = 0.0
    ground: Firmness | None = None
    ball_flight: BallFlight = "modern"
    unmapped: Literal["rough", "heavy"] | None = None
    out_of_bounds: OutOfBounds = "distance"
    table: bool = False
    goal: GoalName = "mean"
    draws: int = 4096
    precision: float | None = None
    seed: Annotated[int, Field(ge=0)] = 1

    @model_validator(mode="wrap")
    @classmethod
    def _in_one_line(cls, values: Any, handler: ModelWrapValidatorHandler["RoundOptions"]) -> "RoundOptions":  # noqa: ANN401
        """Check the options; say what is wrong in one line."""
        try:
            options = handler(values)
        except ValidationError as error:
            raise explain(error, cls, file="", kind="round's options", place="") from None
        draws, precision = options.draws, options.precision
        if not FEWEST_DRAWS <= draws <= MOST_DRAWS or draws & (draws - 1):
            span = f"{FEWEST_DRAWS} to {MOST_DRAWS}"
            raise InputError("", "draws", f"{draws} is not a power of two from {span}", "give 4096, say")
        if precision is not None and not precision > 0:
            raise InputError("", "precision", f"{precision:g} is not a positive number", "give 0.01, say")
        return options

    def changed(self, **values: Any) -> "RoundOptions":  # noqa: ANN401 - of any field
        """Return these options with some values changed, checked again."""
        return RoundOptions(**{**dict(self), **values})

    def expect_mean(self, what: str) -> None:
        """Make sure that the goal is the fewest strokes, and that no precision is asked for.

        Raises
        ------
        InputError
            If not: neither goes with `what`.
        """
        if self.goal != "mean":
            raise InputError("", "goal", f"{self.goal} does not go with {what}", "leave it out")
        if self.precision is not None:
            raise InputError("", "precision", f"does not go with {what}", "leave it out")

    @property
    def in_calm(self) -> "RoundOptions":
        """These options without wind: what is found of a hole, and of how a golfer strikes, hangs on them."""
        return self.changed(wind_mph=0.0, wind_from_deg=0.0, wind_height_ft=USUAL.wind_height_ft)

    @property
    def conditions(self) -> Conditions:
        """The conditions of the round, in SI units."""
        air = make_air(
            temperature_f=self.temperature_f,
            altitude_ft=self.altitude_ft,
            wind_mph=self.wind_mph,
            wind_from_deg=self.wind_from_deg if self.wind_mph else 0.0,
            wind_height_ft=self.wind_height_ft,
        )
        return Conditions(
            air=air,
            ball=None if self.ball_flight == "modern" else BALL_FLIGHTS[self.ball_flight],
            firmness=self.ground,
            unmapped=self.unmapped,
            out_of_bounds=self.out_of_bounds,
            by_table=self.table,
        )

    def as_used(self, firmness: Firmness) -> dict[str, Any]:
        """Return the options as plan files have them; `firmness` is that of the turf."""
        air = self.conditions.air
        return {
            "air_density_kg_m3": round(air.density, 5),
            "wind_mph": round(air.wind_speed / MPH, 3),
            "wind_from_deg": round(air.wind_from / DEGREE, 3),
            "wind_height_ft": round(air.wind_height / FOOT, 3),
            "ball_flight": self.ball_flight,
            "ground": firmness,
            "unmapped": self.unmapped or "as the course draws it",
            "out_of_bounds": self.out_of_bounds,
            "expected_strokes": "table" if self.table else "hole",
            "goal": self.goal,
            "precision": self.precision,
        }


USUAL: Final = RoundOptions()
"""A calm day at 75 °F by the sea, 4,096 drives of each strike."""
