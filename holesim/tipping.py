"""Tipping points: where, as one thing changes, another way to hit the driver becomes the better one."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations
from typing import Any, Final, Literal

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator

from holesim import __version__, advice
from holesim.changed import fairway_width, faster, with_face, with_fairway
from holesim.course import Course
from holesim.decision import interval
from holesim.errors import InputError
from holesim.flight import LIFT_LAWS
from holesim.goal import MEAN
from holesim.ground import FIRMNESS, map_ground
from holesim.holes import Hole, Tee
from holesim.player import Player
from holesim.threads import counter, share_out
from holesim.units import DEGREE, MPH, YARD
from holesim.workbench import Conditions, Workbench, wanted

Floats = NDArray[np.float64]
Over = Literal["club-speed", "face", "spin-exponent", "wind", "fairway-width", "firmness", "lift-law"]

SCHEMA: Final = 1
_BREEZE: Final = 10 * MPH  # in which, against and behind, it is also looked


@dataclass(frozen=True, kw_only=True)
class Case:
    """What the drives from a tee are judged by; `hole` is the one asked of, none for a whole course."""

    course: Course
    player: Player
    conditions: Conditions
    hole: tuple[Hole, Tee] | None

    @cached_property
    def fairway_width(self) -> float:
        """How wide the fairway is where drives come to rest [m]; that of all holes is mapped for it."""
        hole, tee = _place(self)
        return fairway_width(hole, tee, map_ground(self.course), _REACH)


@dataclass(frozen=True, kw_only=True)
class Scale:
    """One thing that may change.

    `change` makes a case with another value, in `unit`; `now` is the value that it has; `names` are those of
    values that are kinds, which are counted from nought; `metric` is another unit to show, and how many of it
    make one of `unit`.
    """

    words: str
    unit: str
    values: tuple[float, ...]
    change: Callable[[Case, float], Case]
    now: Callable[[Case], float]
    names: tuple[str, ...] = ()
    needs_hole: bool = False
    digits: int = 0
    metric: tuple[str, float] | None = None

    def shown(self, *, metric: bool) -> tuple[str, float]:
        """Return the unit that is shown, and how many of it make one of `unit`."""
        return self.metric if metric and self.metric else (self.unit, 1.0)

    def text(self, *values: float, metric: bool = False) -> str:
        """Return a value as it is read, or from which to which."""
        if self.names:
            return " to ".join(self.names[round(value)] for value in values)
        unit, factor = self.shown(metric=metric)
        numbers = " to ".join(
            f"{round(value * factor, self.digits) + 0.0:.{self.digits}f}" for value in values
        )
        return f"{numbers}{'' if unit == '°' else ' '}{unit}".rstrip()


@dataclass(frozen=True, kw_only=True)
class Crossing:
    """Where another strike becomes the better one.

    `low` and `high` are between what it surely lies, none where that is beyond the range.
    """

    at: float
    low: float | None
    high: float | None
    below: str
    above: str


@dataclass(frozen=True, kw_only=True)
class Curve:
    """What each strike costs over a scale in one wind.

    `loss` has a shape of (values, strikes, randomisations), `by_player` of (values, strikes, likely players),
    perhaps none.
    """

    wind: str
    loss: Floats
    by_player: Floats
    crossings: tuple[Crossing, ...]

    def over(self, value: int, strike: int, other: int) -> tuple[float, float, float]:
        """Return what a strike costs over another at a value, and the 95 % interval of that."""
        draws = self.loss[value, strike] - self.loss[value, other]
        low, high = interval(draws, self.by_player[value, strike] - self.by_player[value, other])
        return float(draws.mean()), low, high

    @property
    def best(self) -> NDArray[np.int64]:
        """Which strike is best at each value."""
        return np.asarray(self.loss.mean(axis=2).argmin(axis=1))


@dataclass(frozen=True, kw_only=True)
class Tipping:
    """Where a choice flips: a curve for each wind, of the player's driver strikes, the usual one first."""

    case: Case
    over: Over
    strikes: tuple[str, ...]
    curves: tuple[Curve, ...]
    holes: int
    draws: int
    seed: int

    @property
    def scale(self) -> Scale:
        """What changes."""
        return SCALES[self.over]

    def to_dict(self) -> dict[str, Any]:
        """Return the content of tipping.json."""
        case, scale = self.case, self.scale
        return {
            "schema": SCHEMA,
            "holesim": __version__,
            "inputs": {case.course.file: case.course.sha256, case.player.file: case.player.sha256},
            "over": self.over,
            "unit": scale.unit,
            "hole": None if case.hole is None else case.hole[0].number,
            "tee": None if case.hole is None else case.hole[1].name,
            "seed": self.seed,
            "draws": self.draws,
            "now": _named(scale, scale.now(case)),
            "values": [_named(scale, value) for value in scale.values],
            "strikes": list(self.strikes),
            "curves": [
                {
                    "wind": curve.wind,
                    "strokes": curve.loss.mean(axis=2).tolist(),
                    "crossings": [
                        {
                            "at": c.at if not scale.names else _between(scale, c.at),
                            "low": c.low, "high": c.high, "below": c.below, "above": c.above,
                        }
                        for c in curve.crossings
                    ],
                }
                for curve in self.curves
            ],
        }  # fmt: skip


def _named(scale: Scale, value: float) -> float | str:
    return scale.names[round(value)] if scale.names else value


def _between(scale: Scale, at: float) -> list[str]:
    return [scale.names[int(at)], scale.names[int(at) + 1]]


# --- what may change ------------------------------------------------------------------------------


def _to_speed(case: Case, mph: float) -> Case:
    return replace(case, player=faster(case.player, mph * MPH - _speed(case) * MPH))


def _speed(case: Case) -> float:
    return case.player.driver(case.player.usual).club_speed / MPH


def _to_face(case: Case, degrees: float) -> Case:
    return replace(case, player=with_face(case.player, degrees / _face(case)))


def _face(case: Case) -> float:
    return case.player.driver(case.player.usual).spread.face / DEGREE


def _to_exponent(case: Case, b: float) -> Case:
    return replace(case, conditions=replace(case.conditions, spin_exponent=b))


def _to_wind(case: Case, mph: float) -> Case:
    """Return the case in a wind along the hole, against if positive."""
    air = case.conditions.air
    bearing = _bearing(case)
    blowing = replace(air, wind_speed=abs(mph) * MPH, wind_from=bearing if mph >= 0 else bearing + np.pi)
    return replace(case, conditions=replace(case.conditions, air=blowing))


def _wind(case: Case) -> float:
    air = case.conditions.air
    return air.wind_speed * float(np.cos(air.wind_from - _bearing(case))) / MPH


def _bearing(case: Case) -> float:
    """Return where the hole leads at about a drive from the tee."""
    hole, tee = _place(case)
    return advice.line_bearing(hole, tee, _REACH)


def _place(case: Case) -> tuple[Hole, Tee]:
    assert case.hole is not None  # `tipping` sees to it  # noqa: S101
    return case.hole


_REACH: Final = 240 * YARD  # about where drives come to rest


def _to_width(case: Case, yards: float) -> Case:
    hole, _ = _place(case)
    return replace(case, course=with_fairway(case.course, hole, (yards - _width(case)) * YARD))


def _width(case: Case) -> float:
    return case.fairway_width / YARD


def _to_firmness(case: Case, kind: float) -> Case:
    return replace(case, conditions=replace(case.conditions, firmness=FIRMNESS[round(kind)]))


def _firmness(case: Case) -> float:
    return FIRMNESS.index(case.conditions.firmness or case.course.firmness)


_LAWS: Final = tuple(LIFT_LAWS.values())


def _to_law(case: Case, kind: float) -> Case:
    return replace(case, conditions=replace(case.conditions, aerodynamics=_LAWS[round(kind)]))


def _law(case: Case) -> float:
    return _LAWS.index(case.conditions.aerodynamics)


def _steps(first: float, last: float, count: int) -> tuple[float, ...]:
    return tuple(np.linspace(first, last, count).round(6).tolist())


SCALES: Final[dict[Over, Scale]] = {
    "club-speed": Scale(
        words="club speed", unit="mph", values=_steps(80, 125, 10), change=_to_speed, now=_speed,
        metric=("m/s", MPH),
    ),
    "face": Scale(
        words="spread of the face", unit="°", values=_steps(0.5, 4, 8), change=_to_face, now=_face,
        digits=1,
    ),
    "spin-exponent": Scale(
        words="spin exponent b", unit="", values=_steps(0, 1, 6), change=_to_exponent,
        now=lambda case: case.conditions.spin_exponent, digits=2,
    ),
    "wind": Scale(
        words="wind, against if positive", unit="mph", values=_steps(-25, 25, 11), change=_to_wind,
        now=_wind, needs_hole=True, metric=("m/s", MPH),
    ),
    "fairway-width": Scale(
        words="width of the fairway", unit="yd", values=_steps(10, 60, 11), change=_to_width, now=_width,
        needs_hole=True, metric=("m", YARD),
    ),
    "firmness": Scale(
        words="firmness of the ground", unit="", values=_steps(0, 2, 3), change=_to_firmness, now=_firmness,
        names=FIRMNESS,
    ),
    "lift-law": Scale(
        words="lift law", unit="", values=_steps(0, len(_LAWS) - 1, len(_LAWS)), change=_to_law, now=_law,
        names=tuple(law.authors for law in _LAWS),
    ),
}  # fmt: skip


# --- the curves -----------------------------------------------------------------------------------


def tipping(
    course: Course,
    player: Player,
    over: Over,
    *,
    hole: int | None = None,
    tee: str | None = None,
    conditions: Conditions,
    draws: int = 2048,
    seed: int = 1,
    progress: Callable[[int, int], None] | None = None,
) -> Tipping:
    """Find where the best way to hit the driver changes as one thing does and the rest stays.

    Parameters
    ----------
    hole, tee
        The hole and its tee asked of, the longest by default; without a hole, one strike is sought for every
        par 4 and 5 of the course together.
    conditions
        On a hole it is also looked in 10 mph against and behind, unless it is the wind that changes.

    Raises
    ------
    InputError
        If the player hits the driver one way only, the hole or tee is not there or is a par 3, or what is to
        change can only be asked of a hole.
    """
    scale = SCALES[over]
    strikes = [i for i, s in enumerate(player.strikes) if s.club == "driver"]
    strikes.sort(key=lambda i: player.strikes[i].name != player.usual)
    names = tuple(player.strikes[i].name for i in strikes)
    if len(strikes) < 2:
        raise InputError(player.file, "strikes", f"has the driver {names[0]} only", "add another strike")
    if hole is None and scale.needs_hole:
        raise InputError("--over", "", f"{over} is asked of a hole", "add --hole N")
    places = wanted(course, None if hole is None else [hole], None if tee is None else [tee])
    if hole is not None and places[0][0].par == 3:
        raise InputError("--hole", "", f"hole {hole} is a par 3", "ask of a par 4 or 5")
    places = [place for place in places if place[0].par > 3]
    case = Case(course=course, player=player, conditions=conditions, hole=None if hole is None else places[0])
    blows = "along the hole" if over == "wind" else "as forecast" if conditions.air.wind_speed else "calm"
    winds = {blows: case}
    if hole is not None and over != "wind":
        winds |= {"10 mph hurting": _to_wind(case, 10), "10 mph helping": _to_wind(case, -10)}
    cases = [scale.change(blown, value) for blown in winds.values() for value in scale.values]
    tick = counter(progress, len(cases))

    def judge(k: int) -> tuple[Floats, Floats]:
        found = _losses(cases[k], strikes, places, draws, seed)
        tick()
        return found

    # What remains is worked out by the first, and then lies on the disk for the others.
    found = [judge(0), *share_out(lambda k: judge(k + 1), len(cases) - 1)]
    curves = []
    for k, wind in enumerate(winds):
        part = found[k * len(scale.values) : (k + 1) * len(scale.values)]
        loss, by_player = (np.array(arrays) for arrays in zip(*part, strict=True))
        crossings = tuple(_crossings(np.array(scale.values), names, loss, by_player))
        curves.append(Curve(wind=wind, loss=loss, by_player=by_player, crossings=crossings))
    return Tipping(
        case=case,
        over=over,
        strikes=names,
        curves=tuple(curves),
        holes=len(places),
        draws=draws,
        seed=seed,
    )


def _losses(
    case: Case, strikes: Sequence[int], places: Iterable[tuple[Hole, Tee]], draws: int, seed: int
) -> tuple[Floats, Floats]:
    """Return what each strike costs over all of some tees, by randomisation and by likely player."""
    bench = Workbench(case.course, case.player, case.conditions, MEAN, draws, seed)
    loss, by_player = [], []
    for hole, tee in places:
        known = bench.known(hole)
        site = bench.site(hole, tee, known.remains, known.memory)
        aims = bench.aims(strikes, hole, tee, site, known)
        found = {aimed.strike: aimed.plan for aimed in bench.score(hole, tee, aims, draws, site, known)}
        if len(found) < len(strikes):
            raise InputError(
                case.course.file, f"hole {hole.number}, {tee.name} tee",
                "every drive of a strike is out of bounds", "ask of another",
            )  # fmt: skip
        loss.append([found[i].loss for i in strikes])
        by_player.append([found[i].by_player for i in strikes])
    return np.sum(loss, axis=0), np.sum(by_player, axis=0)


def _crossings(values: Floats, names: Sequence[str], loss: Floats, by_player: Floats) -> Iterator[Crossing]:
    """Yield where the best strike changes, from the least value to the greatest."""
    found, means = [], loss.mean(axis=2)
    for i, j in combinations(range(len(names)), 2):
        draws, players = loss[:, i] - loss[:, j], by_player[:, i] - by_player[:, j]
        bounds = [interval(d, p) for d, p in zip(draws, players, strict=True)]
        gap = PchipInterpolator(values, draws.mean(axis=1))
        others = PchipInterpolator(values, np.delete(means, (i, j), axis=1) - means[:, [i]])
        for root in gap.roots(extrapolate=False):
            slope = float(gap(root, 1))
            if not np.isfinite(root) or slope == 0 or (others(root) < 0).any():
                continue
            first, second = (i, j) if slope > 0 else (j, i)
            low, high = _unsure(values, np.array(bounds), float(root))
            found.append(
                Crossing(at=float(root), low=low, high=high, below=names[first], above=names[second])
            )
    kept: list[Crossing] = []
    for crossing in sorted(found, key=lambda crossing: crossing.at):
        if kept and kept[-1].below == crossing.above and not _holds(kept[-1], crossing, values, names, loss):
            kept.pop()
        else:
            kept.append(crossing)
    yield from kept


def _holds(there: Crossing, back: Crossing, values: Floats, names: Sequence[str], loss: Floats) -> bool:
    """Return whether a strike that is the better one for a while surely is so at a value in between."""
    before, between = names.index(there.below), names.index(there.above)
    within = (there.at < values) & (values < back.at)
    return any(interval(draws)[0] > 0 for draws in (loss[:, before] - loss[:, between])[within])


def _unsure(values: Floats, bounds: Floats, root: float) -> tuple[float | None, float | None]:
    """Return between what values about a root the interval of a difference holds nought.

    That is where a crossing may be, as surely as the interval holds the difference (Fieller, J. R. Stat. Soc.
    B 16, 1954); none where it is not within the range.
    """
    fine = np.linspace(values[0], values[-1], 4001)
    low, high = PchipInterpolator(values, bounds)(fine).T
    sure = (low > 0) | (high < 0)
    before, after = fine[sure & (fine < root)], fine[sure & (fine > root)]
    return (float(before[-1]) if len(before) else None, float(after[0]) if len(after) else None)
