"""The tables of a plan file as `holesim plan` writes it: the one description of plan.json."""

import re
from typing import Annotated, Any, Final, Literal

from pydantic import Field, TypeAdapter

from holesim.common.text_format import minus
from holesim.common.toml_tables import Table
from holesim.course.course import Ground
from holesim.plan.estimate import Sureness
from holesim.plan.goal import MEAN, Goal
from holesim.plan.hole_wind import Flip, HoleWind, Way, speed_text
from holesim.plan.sights import Mark, Sight
from holesim.player.player import StrikeName
from holesim.units import DEGREE, MPH, YARD

VERSION: Final = 5

_Share = Annotated[float, Field(ge=0, le=1)]
_Point = Annotated[list[float], Field(min_length=2, max_length=2)]
_Ring = list[_Point]
_Polygons = list[list[_Ring]]
_Quantiles = Annotated[list[float], Field(min_length=3)]
_Kind = Literal[
    "out", "red", "yellow", "bunker", "green", "tee", "fairway", "trees", "heavy_rough", "rough"
]  # fmt: skip


DrivingNumber = Literal[
    "club_speed_mph", "attack_deg", "path_deg", "face_deg", "face_to_path_deg", "dynamic_loft_deg", "toe_mm",
    "high_mm", "ball_speed_mph", "launch_angle_deg", "spin_rpm", "carry_yd",
]  # fmt: skip
"""The numbers of a driver strike that a coach reads: first those of the delivery, then those of the ball."""


class SightFile(Table):
    """Something to aim by, and how far right of it, at its distance, the ball should start."""

    label: str
    distance_yd: Annotated[float, Field(gt=0)]
    aim_right_yd: float

    def text(self, *, metric: bool = False) -> str:
        """Return the aim in words."""
        sight = Sight(self.label, 0.0, self.distance_yd * YARD)
        return Mark(sight, self.aim_right_yd * YARD).text(metric=metric)


class ReachFile(Table):
    """A hazard in a drive's way, as `HazardInPlay`."""

    way: Literal["clear", "beside", "reach"]
    what: str
    side: Literal["left", "right", "across"]
    near_yd: float
    far_yd: float

    def text(self, *, metric: bool = False) -> str:
        """Return it in words, distances in yards or metres."""
        scale = YARD if metric else 1.0
        near, far = round(self.near_yd * scale), round(self.far_yd * scale)
        what = "penalty area" if self.what.endswith("penalty area") else self.what
        if self.side != "across":
            what += f" {self.side}"
        if self.way == "clear":
            return f"carry {far}: {what}"
        if self.way == "reach":
            return f"short of {near}: {what}"
        return f"{what} {near}\N{EN DASH}{far}"


class NextFile(Table):
    """The shot that usually follows."""

    lie: str
    to_pin_yd: float
    strokes: float
    length_yd: float
    target_text: str


class OutlineFile(Table):
    """The outline that a share of the drives finishes in [m, x east, y north]."""

    share: _Share
    polygons: _Polygons


def _over_text(over: float, low: float, high: float, goal: Goal) -> str:
    """Return a difference in loss with its interval; one that rounds to zero has no sign."""
    text = goal.over_text(over, (high - low) / 2).removesuffix(f" ±{0:.{goal.digits}f}")
    return minus(re.sub(r"^[+-](?=0\.0+\b)", "", text))


class OverFile(Table):
    """The loss of a strike minus that of the choice, with its 95 % interval."""

    loss: float
    low: float
    high: float

    def text(self, goal: Goal) -> str:
        """Return it as golfers read it."""
        return _over_text(self.loss, self.low, self.high, goal)


class StrikeFile(Table):
    """What a plan says of a strike on a tee."""

    club: str
    strike: StrikeName
    aim_deg: float
    aim_text: str
    alignment_deg: float
    strokes: float
    strokes_se: float
    fairway: _Share
    green: _Share
    rough: _Share
    heavy_rough: _Share
    sand: _Share
    trees: _Share
    penalty: _Share
    out: _Share
    birdie_chance: float
    par_chance: float
    bogey_chance: float
    worse_chance: float
    carry_yd: float
    total_yd: float
    carry_sd_yd: float
    side_sd_yd: float
    loss: float
    over_choice: OverFile | None
    heading_deg: float
    sight: SightFile
    in_the_way: list[ReachFile]
    scores: Annotated[list[_Share], Field(min_length=2)]
    total_quantiles_yd: _Quantiles | None
    side_quantiles_yd: _Quantiles | None
    next: NextFile | None
    finishes: list[_Point]
    outlines: list[OutlineFile]

    @property
    def label(self) -> str:
        """How the strike is called."""
        return self.strike if self.club == "driver" else self.club

    @property
    def safe(self) -> float:
        """Share of drives on the fairway or the green."""
        return self.fairway + self.green

    @property
    def trouble(self) -> float:
        """Share of drives in a penalty area or out."""
        return self.penalty + self.out


class _Named(Table):
    club: str
    strike: StrikeName


class _Choice(_Named):
    close: bool
    chance: _Share
    sure: Sureness


class _FlipFile(Table):
    strike: str
    way: Way
    felt_mph: float
    drops: bool


class _Difference(Table):
    first: str
    second: str
    strokes: float | None = None
    no_par_chance: float | None = None
    no_birdie_chance: float | None = None
    low: float
    high: float
    sampling_half_width: float


class TeeFile(Table):
    """What a plan says of a tee, its strikes with the best first."""

    hole: int
    par: int
    tee: str
    length_yd: float
    middle: _Point
    draws: int
    choice: _Choice
    rival: _Named | None
    verdict: str
    warning: str | None
    reason: str
    doubt: str | None
    beyond: bool
    by_table: str | None
    wind: str | None
    wind_angle_deg: float | None
    flips: list[_FlipFile]
    strikes: Annotated[list[StrikeFile], Field(min_length=1)]
    difference: _Difference | None

    def chosen(self) -> StrikeFile:
        """Return the strike to hit."""
        return self._strike(self.choice) or self.strikes[0]

    def choice_rival(self) -> StrikeFile | None:
        """Return the strike that the choice is compared with."""
        return None if self.rival is None else self._strike(self.rival)

    def _strike(self, wanted: _Named) -> StrikeFile | None:
        return next((s for s in self.strikes if (s.club, s.strike) == (wanted.club, wanted.strike)), None)

    def felt(self) -> list[Flip]:
        """Return the felt winds that flip the choice."""
        return [Flip(flip.strike, flip.way, flip.felt_mph * MPH, flip.drops) for flip in self.flips]


class HoleFile(Table):
    """A hole as a map shows it: the ground in a window [m, x east, y north], earlier kinds on top."""

    hole: int
    par: int
    stroke_index: int | None
    pin: _Point
    line: Annotated[_Ring, Field(min_length=2)]
    bare: _Kind
    window: list[_Ring]
    ground: dict[_Kind, _Polygons]

    def kind(self, name: _Kind) -> Ground:
        """Return the kind of ground of a name."""
        return Ground[name.upper()]


class _SpreadFile(Table):
    face_deg: float
    path_deg: float
    attack_deg: float
    dynamic_loft_deg: float
    speed_pct: float
    toe_mm: float
    high_mm: float
    face_path_correlation: float
    miss_rate: float
    miss_scale: float
    at_mph: float
    at_rpm: float | None


class GolferStrikeFile(Table):
    """A golfer's strike as it was planned with."""

    club: str
    strike: StrikeName
    club_speed_mph: float
    attack_deg: float
    dynamic_loft_deg: float
    face_deg: float
    swing_line_deg: float
    toe_mm: float
    high_mm: float
    tee_height_mm: float
    spread: _SpreadFile


class GolferFile(Table):
    """The golfer as planned with."""

    hand: Literal["right", "left"]
    sex: Literal["man", "woman"]
    handicap_index: float
    club_speed_mph: float
    usual: StrikeName | None
    can_choose: bool
    measured: int
    strikes: Annotated[list[GolferStrikeFile], Field(min_length=1)]


class NumberFile(Table):
    """A number of a golfer's average swing, as `StrikeNumber`."""

    mean: float
    low: float
    high: float
    wanted_low: float | None
    wanted_high: float | None


class DrivingFile(Table):
    """A driver strike's numbers, and where it lands in calm air, right of the aim and along it [m]."""

    strike: StrikeName
    numbers: dict[DrivingNumber, NumberFile]
    side_quantiles_yd: _Quantiles
    along_quantiles_yd: _Quantiles
    outlines: list[OutlineFile]


class SwingLineFile(Table):
    """Where a golfer swings now, and its 90 % interval."""

    mean: float
    low: float
    high: float


class SetUpFile(Table):
    """How to set up to a driver strike."""

    strike: StrikeName
    tee_height_mm: float
    ball: str
    ball_past_low_point_mm: float
    alignment_deg: float
    swing_line_deg: SwingLineFile | None = None


class _Options(Table):
    air_density_kg_m3: float
    wind_mph: float
    wind_from_deg: float
    wind_height_ft: float
    ball_flight: Literal["modern", "older"]
    ground: Literal["soft", "medium", "firm"]
    unmapped: str
    out_of_bounds: Literal["distance", "drop"]
    expected_strokes: Literal["table", "hole"]
    goal: Literal["mean", "par", "birdie"]
    precision: float | None


class _Over(Table):
    strokes: float
    low: float
    high: float

    def text(self) -> str:
        """Return it as golfers read it."""
        return _over_text(self.strokes, self.low, self.high, MEAN)


class _OverPlan(_Over):
    chance: _Share


class _Day(Table):
    strike: StrikeName
    over: StrikeName | None
    strokes: _Over | None
    chance: _Share
    text: str


class _Saved(Table):
    drives: int
    strokes: float


class _Measuring(Table):
    given_away: float
    saved: list[_Saved]


class PlanFile(Table):
    """A plan as it was written."""

    version: Annotated[Literal[5], Field(alias="schema")]
    holesim: str
    inputs: dict[str, str]
    options: _Options
    assumed: list[str]
    guesses: list[str]
    course: str
    player: str
    seed: int
    draws: int
    probabilities: Annotated[list[_Share], Field(min_length=3)]
    set_up: list[SetUpFile]
    golfer: GolferFile
    driving: Annotated[list[DrivingFile], Field(min_length=1)]
    holes: Annotated[list[HoleFile], Field(min_length=1)]
    tees: Annotated[list[TeeFile], Field(min_length=1)]
    totals: dict[str, dict[str, float]]
    over_plan: dict[str, dict[str, _OverPlan]]
    day: dict[str, _Day]
    measuring: dict[str, _Measuring]

    def hole(self, number: int) -> HoleFile:
        """Return the hole of a number."""
        return next(hole for hole in self.holes if hole.hole == number)

    def round_text(self, *, metric: bool = False) -> str:
        """Return the conditions of the round and the number of drives, in words."""
        options = self.options
        speed = speed_text(options.wind_mph * MPH, metric=metric)
        wind = f"wind {speed} from {options.wind_from_deg:g}°" if options.wind_mph else "calm"
        out = "stroke and distance" if options.out_of_bounds == "distance" else "a drop for two strokes"
        drives = f"{self.draws:,} drives a strike, seed {self.seed}"
        return f"{wind}; {options.ground} ground; out of bounds: {out}; {drives}"

    def wind_on(self, tee: TeeFile) -> HoleWind | None:
        """Return the wind as it blows along a hole; none in still air."""
        if tee.wind_angle_deg is None:
            return None
        speed, bearing = self.options.wind_mph * MPH, self.options.wind_from_deg * DEGREE
        return HoleWind(speed, tee.wind_angle_deg * DEGREE, bearing)


def schema() -> dict[str, Any]:
    """Return the JSON Schema of a plan file: a plan, or a list of one for each wind."""
    return TypeAdapter(PlanFile | list[PlanFile]).json_schema()
