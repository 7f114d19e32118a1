"""A player file that has learnt from the drives of a round."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import atan2, hypot, sin, sqrt
from typing import Any, Final, NamedTuple

import numpy as np

from holesim.common.toml_tables import to_toml
from holesim.plan.club_reach import nominal_launch
from holesim.player import population
from holesim.player.make_player import make_player
from holesim.player.player import ATTACK_BOUNDS_DEG, Player, Strike, path_shift
from holesim.player.player_defaults import default_spread
from holesim.player.player_file import STRIKE_UNITS, PlayerFile
from holesim.shot.air import make_air
from holesim.shot.flight import fly
from holesim.study.lesson import Lesson, Measure
from holesim.study.round_file import DriveResult
from holesim.units import DEGREE, YARD

DIRECTION_WEIGHT: Final = 4.0
"""Number of drives that a mean direction without a standard error counts for: our assumption."""

_SPREADS: Final = ("face_deg", "path_deg")
_MEANS: Final[dict[Measure, tuple[str, ...]]] = {
    "side": ("face_deg", "swing_line_deg"),
    "total": ("club_speed_mph", "dynamic_loft_deg", "attack_deg", "high_mm"),
}
"""The numbers of a strike that a mean side or length hangs on."""
_POSSIBLE: Final = {
    "face_deg": (-89.0, 89.0),
    "swing_line_deg": (-89.0, 89.0),
    "club_speed_mph": (30.0, 160.0),
}
"""The numbers that learn, and what a player file allows them to be."""
_WIDEST: Final = 45.0  # degrees, what a player file allows a spread to be
_POPULATION: Final = {
    "dynamic_loft_deg": hypot(population.LOFT_SD, population.STRIKE_LOFT_SD),
    "high_mm": hypot(population.HIGH_SD, population.STRIKE_HIGH_SD),
}
"""Standard errors of numbers that a file leaves out [rad, m]."""


class _Number(NamedTuple):
    """A number of a strike in the units of a player file.

    `effect` is how far right, or how much longer, drives finish for each unit more [yd].
    """

    key: str
    value: float
    se: float
    effect: float


def update_player(
    golfer: PlayerFile, lessons: Mapping[Measure, Lesson | None], drives: Sequence[DriveResult]
) -> str | None:
    """Return the text of a player file that has learnt from the driver's drives of a round.

    Parameters
    ----------
    golfer
        Their file, with a club speed in place of each carry.
    lessons
        What the drives told.
    drives
        The drives: the strikes that were hit are those that learn.

    Returns
    -------
    The text; None where too few drives have a side.

    Notes
    -----
    The mean moves by what it was unsure of: a bias found with the standard error s, where the file leaves a
    variance V of it, moves the mean by V/(V + s²) of the bias (Gelman et al., Bayesian Data Analysis, 2013,
    ch. 2.5). Sides count from where the ball should have started, so a bias to the side is one of the curve,
    which the face turns one way and the swing line the other. A direction cannot tell one from the other:
    each moves by its share of V. Of a bias in length the club speed takes its share, and what else is unsure
    (loft, attack, height on the face) stays.

    The variances of face and path are scaled by one factor, by the scatter about the round's own mean. The
    prior is an inverse χ², worth as many drives as the standard error of the spread stands for (ch. 2.6). The
    draws of a file (`likely`) are standard errors off the numbers, so they move and shrink with these.

    Examples
    --------
    Fourteen drives by the strike up finish 15 yards right, and as wide as planned.

    >>> import tomllib
    >>> from types import SimpleNamespace
    >>> from holesim.data.examples import PLAYER, find
    >>> from holesim.shot.club_speeds import load_player_file
    >>> from holesim.study.lesson import Interval
    >>> right = Lesson(
    ...     offsets=np.full(14, 15.0), planned=np.zeros(3), probabilities=np.array([0.1, 0.5, 0.9]),
    ...     bias=Interval(15.0, 4.0, 26.0), bias_se=5.0, spread=Interval(1.0, 0.7, 1.5),
    ... )
    >>> up = SimpleNamespace(strike=SimpleNamespace(club="driver", strike="up"))
    >>> golfer, _ = load_player_file(find(PLAYER))
    >>> learnt = tomllib.loads(update_player(golfer, {"side": right, "total": None}, [up]))
    >>> learnt["strikes"]["up"]["face_deg"], learnt["spread"]["face_deg"]
    (1.212, 1.6)
    """
    side = lessons["side"]
    if side is None:
        return None
    player = make_player(golfer, "", "")
    told = golfer.model_dump(exclude_unset=True, exclude_none=True)
    if not told.get("strikes"):
        told["strikes"] = {strike.name: {} for strike in player.drivers}
        told["can_choose"] = player.can_choose  # which the number of strikes would tell otherwise
    hit = {drive.strike.strike for drive in drives if drive.strike.club == "driver"}
    for strike in [strike for strike in player.drivers if strike.name in hit]:
        for measure, lesson in lessons.items():
            if lesson is not None:
                numbers = _find_numbers(strike, player, measure, lesson)
                gain = _find_gain(strike, player, numbers, lesson)
                _move_means(told["strikes"][strike.name], numbers, gain, lesson.bias.value)
    _scale_spreads(told, golfer, player, side)
    told["measured"] = {"drives": told.get("measured", {}).get("drives", 0) + side.drives}
    head = (
        f"# Made by holesim review from {side.drives} drives with the driver.\n"
        "# These have learnt: face, swing line and club speed of the strikes hit; spread of face and path.\n"
        "# A direction cannot tell the face from the swing line: each moved by how unsure it was.\n\n"
    )
    return head + to_toml(told)


# --- means ----------------------------------------------------------------------------------------


def _find_numbers(strike: Strike, player: Player, measure: Measure, lesson: Lesson) -> list[_Number]:
    """Return what a mean side or length hangs on, and how unsure each number is."""
    before = _land(strike, player)[measure]
    found = []
    for key in _MEANS[measure]:
        field, unit = STRIKE_UNITS[key]
        value = getattr(strike, field)
        moved = replace(strike, **{field: value + unit})
        moved = replace(moved, path=moved.swing_line + path_shift(strike.attack, player.side))
        effect = _land(moved, player)[measure] - before
        found.append(_Number(key, value / unit, _standard_error(strike, key), effect))
    if measure == "side" and not any(number.se for number in found):
        drive_sd = lesson.bias_se * sqrt(lesson.drives)
        face = found[0]
        found[0] = face._replace(se=drive_sd / sqrt(DIRECTION_WEIGHT) / abs(face.effect))
    return found


def _standard_error(strike: Strike, key: str) -> float:
    """Return the standard error of a number of a strike, as it stands in its file or the population."""
    field, unit = STRIKE_UNITS[key]
    if field in strike.se:
        return strike.se[field] / unit
    if field not in strike.assumed:
        return 0.0
    match field:
        case "club_speed":
            return population.STRIKE_SPEED_SD * strike.club_speed / unit
        case "attack":
            return population.attack_sd(*(b * DEGREE for b in ATTACK_BOUNDS_DEG[strike.name])) / unit
    return _POPULATION.get(key, 0.0) / unit


def _land(strike: Strike, player: Player) -> dict[Measure, float]:
    """Return how far a strike without errors carries, and how far right of its start it lands [yd]."""
    launches = nominal_launch(strike, side=player.side)
    landings, _ = fly(launches, make_air())
    along, right = float(landings.x[0]), float(landings.y[0])
    carry = hypot(along, right) / YARD
    return {"total": carry, "side": carry * sin(atan2(right, along) - float(launches.direction[0]))}


def _find_gain(strike: Strike, player: Player, numbers: Sequence[_Number], lesson: Lesson) -> float:
    """Return the share of a bias by which the mean moves: the more, the less sure the file is of it."""
    unsure = {f"{strike.place}.{n.key}": n.effect * n.se for n in numbers if n.se}
    if unsure and all(place in player.likely for place in unsure):
        # The draws say how the errors of the numbers go together.
        variance = float(np.var(sum(off * np.array(player.likely[place]) for place, off in unsure.items())))
    else:
        variance = sum(off**2 for off in unsure.values())
    return variance / (variance + lesson.bias_se**2)


def _move_means(table: dict[str, Any], numbers: Sequence[_Number], gain: float, bias: float) -> None:
    """Move each number of a strike's table by its share of a bias [yd], and renew its standard error."""
    unsure = sum((n.effect * n.se) ** 2 for n in numbers)
    for n in numbers:
        if n.key in _POSSIBLE and n.se:
            part = gain * (n.effect * n.se) ** 2 / unsure
            moved = np.clip(n.value + part * bias / n.effect, *_POSSIBLE[n.key])
            table[n.key] = _round_off(float(moved))
            table.setdefault("se", {})[n.key] = _round_off(n.se * sqrt(1 - part))


# --- spread ---------------------------------------------------------------------------------------


def _scale_spreads(told: dict[str, Any], golfer: PlayerFile, player: Player, side: Lesson) -> None:
    """Scale the spread of face and path in a golfer's tables by the scatter of the sides."""
    usual = default_spread(golfer.handicap_index, player.club_speed)
    spread = told.setdefault("spread", {})
    for key in _SPREADS:
        spread.setdefault(key, round(float(getattr(usual, key.removesuffix("_deg"))) / DEGREE, 3))
    own = [s["spread"] for s in told["strikes"].values() if s.get("spread")]
    for table in (spread, *own):
        for key in _SPREADS:
            if key in table:
                _scale_spread(table, key, side)


def _scale_spread(table: dict[str, Any], key: str, side: Lesson) -> None:
    se, freedom = table.setdefault("se", {}), side.drives - 1
    # A standard deviation found from n drives has a standard error of 1/√(2n) of itself.
    weight = 0.5 * (table[key] / se[key]) ** 2 if se.get(key) else population.SPREAD_WEIGHT
    variance = (weight + freedom * side.spread.value**2) / (weight + freedom)
    table[key] = _round_off(min(table[key] * sqrt(variance), _WIDEST))
    se[key] = _round_off(table[key] / sqrt(2 * (weight + freedom)))


def _round_off(value: float) -> float:
    return float(f"{value:.4g}")
