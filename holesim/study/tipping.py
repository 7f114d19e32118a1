"""Tipping points: where, as one thing changes, another way to hit the driver becomes the better one."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import asdict, dataclass, replace
from functools import cached_property
from itertools import permutations
from typing import Any, Final, Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator

from holesim._version import __version__
from holesim.common.parallel import counter, share_out
from holesim.course.course import Course
from holesim.course.ground_map import FIRMNESS, map_ground
from holesim.course.holes import Hole, Tee
from holesim.errors import InputError
from holesim.plan import sights
from holesim.plan.aiming import find_aims, score_tee
from holesim.plan.conditions import Conditions
from holesim.plan.decision import allowed, decide
from holesim.plan.estimate import Estimate, chance_below, estimate
from holesim.plan.evaluator import Evaluator
from holesim.plan.goal import CLOSE, MEAN
from holesim.plan.round_options import USUAL, RoundOptions
from holesim.plan.round_tees import find_tees
from holesim.player.player import Player, Strike
from holesim.shot.flight import BALL_FLIGHTS
from holesim.study.variants import fairway_width, faster, with_face, with_fairway
from holesim.units import DEGREE, MPH, YARD

Floats = NDArray[np.float64]
Over = Literal["club-speed", "face", "spin-exponent", "wind", "fairway-width", "firmness", "ball-flight"]

SCHEMA: Final = 2
_BREEZE: Final = 10 * MPH  # in which, against and behind, it is also looked
SURE_ENOUGH: Final = 9 / 10  # the chance from which on it is known which of two strikes is the better one
_FINE: Final = 4001  # places on a scale


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
class Band:
    """A stretch of a scale within which it is open which strike is the best.

    `low` and `high` are its ends, none where it goes beyond the range; `below` and `above` the best strikes
    there; `at` is where those two cost the same on average, the break-even point, none if they are the same;
    `strikes` are those among which it is open.
    """

    low: float | None
    high: float | None
    at: float | None
    below: str
    above: str
    strikes: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class BreakEvenCurve:
    """What each strike costs over a scale in one wind.

    `loss` has a shape of (values, strikes, posterior draws, replicates); `beyond`, of (values, strikes), says
    that on the hole asked of an aim which no golfer would take costs clearly less.
    """

    wind: str
    loss: Floats
    beyond: NDArray[np.bool_]
    bands: tuple[Band, ...]

    def over(self, value: int, strike: int, other: int) -> Estimate:
        """Return what a strike costs over another at a value."""
        return estimate(self.loss[value, strike] - self.loss[value, other])

    def ranked(self, value: int) -> list[int]:
        """Return the strikes at a value, the best first."""
        return [int(k) for k in self.loss[value].mean(axis=(1, 2)).argsort()]

    def as_good(self, value: int) -> list[int]:
        """Return the strikes that may as well be hit at a value, the best first."""
        best, *others = self.ranked(value)
        over = {k: self.over(value, best, k) for k in others}
        open_ = {k: is_open(np.array(-o.mean), np.array(o.chance_below)) for k, o in over.items()}
        return [best, *(k for k in others if open_[k])]


@dataclass(frozen=True, kw_only=True)
class Tipping:
    """Where a choice flips: a curve for each wind, of the player's driver strikes in their file's order.

    `values` are those of the scale, and what is now where that lies among them.
    """

    case: Case
    over: Over
    values: tuple[float, ...]
    strikes: tuple[str, ...]
    curves: tuple[BreakEvenCurve, ...]
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
            "values": [_named(scale, value) for value in self.values],
            "strikes": list(self.strikes),
            "curves": [self._curve_dict(curve) for curve in self.curves],
        }

    def _curve_dict(self, curve: BreakEvenCurve) -> dict[str, Any]:
        return {
            "wind": curve.wind,
            "strokes": curve.loss.mean(axis=(2, 3)).tolist(),
            "as_good": [[self.strikes[k] for k in curve.as_good(value)] for value in range(len(self.values))],
            "beyond": curve.beyond.tolist(),
            "bands": [asdict(band) for band in curve.bands],
        }


def _named(scale: Scale, value: float) -> float | str:
    return scale.names[round(value)] if scale.names else value


# --- what may change ------------------------------------------------------------------------------


def _to_speed(case: Case, mph: float) -> Case:
    return replace(case, player=faster(case.player, mph * MPH - _speed(case) * MPH))


def _speed(case: Case) -> float:
    return _mean(case, lambda strike: strike.club_speed) / MPH


def _to_face(case: Case, degrees: float) -> Case:
    return replace(case, player=with_face(case.player, degrees / _face(case)))


def _face(case: Case) -> float:
    return _mean(case, lambda strike: strike.spread.face) / DEGREE


def _mean(case: Case, number: Callable[[Strike], float]) -> float:
    """Return the mean of a number over the driver's strikes."""
    return sum(map(number, case.player.drivers)) / len(case.player.drivers)


def _to_exponent(case: Case, b: float) -> Case:
    return replace(case, conditions=replace(case.conditions, spin_exponent=b))


def _to_wind(case: Case, mph: float) -> Case:
    """Return the case in a wind along the hole, against if positive; what blows across it stays."""
    return _blown(case, mph * MPH, case.conditions.air.wind_speed * float(np.sin(_wind_angle(case))))


def _wind(case: Case) -> float:
    return case.conditions.air.wind_speed * float(np.cos(_wind_angle(case))) / MPH


def _wind_angle(case: Case) -> float:
    return case.conditions.air.wind_from - _bearing(case)


def _blown(case: Case, against: float, across: float) -> Case:
    """Return the case in a wind of so much against the hole, and from its right [m/s]."""
    come_from = _bearing(case) + float(np.arctan2(across, against))
    air = replace(case.conditions.air, wind_speed=float(np.hypot(against, across)), wind_from=come_from)
    return replace(case, conditions=replace(case.conditions, air=air))


def _bearing(case: Case) -> float:
    """Return where the hole leads at about a drive from the tee."""
    hole, tee = _place(case)
    return sights.line_bearing(hole, tee, _REACH)


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


_BALLS: Final = tuple(BALL_FLIGHTS)


def _to_ball(case: Case, kind: float) -> Case:
    ball = None if kind == 0 else BALL_FLIGHTS[_BALLS[round(kind)]]
    return replace(case, conditions=replace(case.conditions, ball=ball))


def _ball(case: Case) -> float:
    ball = case.conditions.ball
    return 0.0 if ball is None else _BALLS.index(ball.name)


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
    "ball-flight": Scale(
        words="ball flight", unit="", values=_steps(0, len(_BALLS) - 1, len(_BALLS)), change=_to_ball,
        now=_ball, names=_BALLS,
    ),
}  # fmt: skip


# --- the curves -----------------------------------------------------------------------------------


def tipping(
    course: Course,
    player: Player,
    over: Over,
    options: RoundOptions = USUAL,
    *,
    hole: int | None = None,
    tee: str | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> Tipping:
    """Find where the best way to hit the driver changes as one thing does and the rest stays.

    Parameters
    ----------
    hole, tee
        The hole and its tee asked of, the longest by default; without a hole, one strike is sought for every
        par 4 and 5 of the course together, but where another club than the driver is better now.
    options
        On a hole it is also looked in 10 mph against and behind, unless it is the wind that changes.

    Raises
    ------
    InputError
        If the player hits the driver one way only, the hole or tee is not there or is a par 3, or what is to
        change can only be asked of a hole.
    """
    options.expect_mean("a break-even point")
    scale, conditions, draws, seed = SCALES[over], options.conditions, options.draws, options.seed
    names = tuple(strike.name for strike in player.drivers)
    if len(names) < 2:
        raise InputError(player.file, "strikes", f"has the driver {names[0]} only", "add another strike")
    if hole is None and scale.needs_hole:
        raise InputError("", "over", f"{over} is asked of a hole", "name a hole, too")
    places = find_tees(course, None if hole is None else [hole], None if tee is None else [tee])
    if hole is not None and places[0][0].par == 3:
        raise InputError("", "hole", f"hole {hole} is a par 3", "ask of a par 4 or 5")
    places = [place for place in places if place[0].par > 3]
    if not places:
        raise InputError(course.file, "", "has no par 4 or 5", "give a course that has one")
    case = Case(course=course, player=player, conditions=conditions, hole=None if hole is None else places[0])
    blows = "along the hole" if over == "wind" else "as forecast" if conditions.air.wind_speed else "calm"
    winds = {blows: case}
    if hole is not None and over != "wind":
        winds |= {"10 mph hurting": _blown(case, _BREEZE, 0), "10 mph helping": _blown(case, -_BREEZE, 0)}
    now, values = scale.now(case), scale.values
    if values[0] <= now <= values[-1]:
        values = tuple(sorted({*values, now}))
    # As things are nothing is changed, so that it is what a plan has.
    cases = [
        blown if value == now else scale.change(blown, value) for blown in winds.values() for value in values
    ]
    hit = _hit(case, places, draws, seed)
    tick = counter(progress, len(cases))

    def judge(k: int) -> tuple[Floats, NDArray[np.bool_]]:
        found = _losses(cases[k], hit, draws, seed)
        tick()
        return found

    # The first works out what remains, which then lies on the disk for the others.
    found = [judge(0), *share_out(lambda k: judge(k + 1), len(cases) - 1)]
    curves = []
    for k, wind in enumerate(winds):
        part = found[k * len(values) : (k + 1) * len(values)]
        loss, beyond = (np.array(arrays) for arrays in zip(*part, strict=True))
        bands = () if scale.names else tuple(bands_of(np.array(values), names, loss))
        curves.append(BreakEvenCurve(wind=wind, loss=loss, beyond=beyond, bands=bands))
    return Tipping(
        case=case,
        over=over,
        values=values,
        strikes=names,
        curves=tuple(curves),
        holes=len(places),
        draws=draws,
        seed=seed,
    )


class _Hit(NamedTuple):
    """A tee, and the label of what is hit from it by one who hits the driver in each of some ways."""

    hole: Hole
    tee: Tee
    labels: tuple[str, ...]


def _hit(case: Case, places: Sequence[tuple[Hole, Tee]], draws: int, seed: int) -> list[_Hit]:
    """Return what is hit from each tee: the driver, and over a course another club where that is better now.

    So a plan has it for one who hits the driver one way all day.
    """
    names = tuple(strike.name for strike in case.player.drivers)
    if case.hole is not None:
        return [_Hit(*case.hole, names)]
    evaluator = Evaluator(case.course, case.player, case.conditions, MEAN, draws, seed)

    def judge(k: int) -> _Hit:
        hole, tee = places[k]
        at = evaluator.on_tee(hole, tee, evaluator.value_hole(hole))
        strikes = tuple(aimed.plan for aimed in score_tee(evaluator, at))
        plan = decide(hole, tee, strikes, draws, None, MEAN)
        return _Hit(hole, tee, tuple(allowed(plan, name)[0].label for name in names))

    return share_out(judge, len(places))


def _losses(case: Case, hit: Iterable[_Hit], draws: int, seed: int) -> tuple[Floats, NDArray[np.bool_]]:
    """Return what each strike of the driver loses over tees, shape (strikes, posterior draws, replicates).

    And whether on the hole asked of an aim which no golfer would take costs clearly less.
    """
    evaluator = Evaluator(case.course, case.player, case.conditions, MEAN, draws, seed)
    places = {strike.label: k for k, strike in enumerate(case.player.strikes)}
    losses, beyond = [], np.zeros(len(case.player.drivers), dtype=np.bool_)
    for hole, tee, labels in hit:
        at = evaluator.on_tee(hole, tee, evaluator.value_hole(hole))
        chosen = {places[label] for label in labels}
        # Aimed as a plan aims, where every club finds aims for the others.
        aims = [aim for aim in find_aims(evaluator, at) if aim.strike in chosen]
        loss = {aim.strike: plan.loss for aim, plan in evaluator.score(aims, at)}
        if case.hole is not None:
            beyond = np.array([aim.beyond for aim in aims])
        if len(loss) < len(chosen):
            raise InputError(
                case.course.file, f"hole {hole.number}, {tee.name} tee",
                "every drive of a strike is out of bounds", "ask of another",
            )  # fmt: skip
        losses.append([loss[places[label]] for label in labels])
    return np.asarray(np.sum(losses, axis=0)), beyond


# --- where it is open -----------------------------------------------------------------------------


def is_open(over: Floats, chance: Floats) -> NDArray[np.bool_]:
    """Return where it is open which of two strikes is the better one.

    Parameters
    ----------
    over
        What the one that is dearer on average costs over the other [strokes].
    chance
        That it does cost more.
    """
    return np.asarray((over < CLOSE) | (chance < SURE_ENOUGH))


def bands_of(values: Floats, names: Sequence[str], loss: Floats) -> Iterator[Band]:
    """Yield where it is open which strike is the best, from the least value to the greatest.

    Parameters
    ----------
    loss
        Shape (values, strikes, posterior draws, replicates). Between values, means and standard errors are
        interpolated (Fritsch and Carlson, SIAM J. Numer. Anal. 17, 1980).
    """
    fine = np.unique(np.concatenate([values, np.linspace(values[0], values[-1], _FINE)]))
    means = loss.mean(axis=(2, 3))
    # What all strikes share would bend the lines between values.
    cost = PchipInterpolator(values, means - means.mean(axis=1, keepdims=True))
    strikes, best = range(len(names)), cost(fine).argmin(axis=1)
    alike: NDArray[np.bool_] = np.zeros((len(fine), len(names)), dtype=np.bool_)
    for i, j in permutations(strikes, 2):
        over = cost(fine)[:, j] - cost(fine)[:, i]
        se = _errors(values, loss[:, j] - loss[:, i])(fine)
        open_ = is_open(over, chance_below(-over, se, np.array(loss.shape[2] - 1)))
        alike[:, j] = alike[:, j] | open_ & (best == i)
    edges = np.flatnonzero(np.diff(np.concatenate([[False], alike.any(axis=1), [False]]).astype(np.int64)))
    for first, end in zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True):
        last, within = end - 1, slice(first, end)
        below, above = int(best[first]), int(best[last])
        among = {*np.flatnonzero(alike[within].any(axis=0)).tolist(), *best[within].tolist()}
        yield Band(
            low=float(fine[first]) if first > 0 else None,
            high=float(fine[last]) if end < len(fine) else None,
            at=None if below == above else _meeting(fine[within], cost(fine[within]), below, above),
            below=names[below],
            above=names[above],
            strikes=tuple(names[k] for k in strikes if k in among),
        )


def _errors(values: Floats, over: Floats) -> PchipInterpolator:
    """Return the standard error of a difference along a scale.

    At one value it is found from few draws; so its square is averaged over three values beside one another.
    """
    squares = np.array([estimate(one).se ** 2 for one in over])
    padded = np.concatenate([squares[:1], squares, squares[-1:]])
    return PchipInterpolator(values, np.sqrt((padded[:-2] + padded[1:-1] + padded[2:]) / 3))


def _meeting(fine: Floats, cost: Floats, below: int, above: int) -> float:
    """Return where two strikes cost the same on average; the middle one of several such places."""
    over = cost[:, above] - cost[:, below]
    steps = np.flatnonzero((over[:-1] >= 0) != (over[1:] >= 0))
    if len(steps) == 0:  # they meet at an end
        return float(fine[np.abs(over).argmin()])
    k = int(steps[len(steps) // 2])
    return float(fine[k] + (fine[k + 1] - fine[k]) * over[k] / (over[k] - over[k + 1]))
