"""Break-even: where another way to hit the driver becomes the better one as one thing changes."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import asdict, dataclass
from itertools import permutations
from typing import Any, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator

from holesim._version import __version__
from holesim.common.parallel import counter, share_out
from holesim.course.course import Course
from holesim.course.ground_map import GroundMap
from holesim.course.holes import Hole, Tee
from holesim.errors import InputError
from holesim.plan.aiming import candidates, look_around, score_tee, settle_aims
from holesim.plan.conditions import map_in
from holesim.plan.decision import allowed, decide
from holesim.plan.estimate import Estimate, chance_below, estimate
from holesim.plan.evaluator import Evaluator
from holesim.plan.goal import CLOSE, MEAN
from holesim.plan.round_options import USUAL, RoundOptions
from holesim.plan.round_tees import find_own_tees
from holesim.player.player import Player
from holesim.study.scales import SCALES, Case, Scale, ScaleName, blow_along
from holesim.units import MPH

Floats = NDArray[np.float64]

SCHEMA: Final = 2
SURE_ENOUGH: Final = 9 / 10
"""The chance above which one of two strikes counts as the better one."""
_BREEZE: Final = 10 * MPH  # the head and the tail wind that are looked at besides the forecast
_FINE: Final = 4001  # places along a scale at which bands are sought


@dataclass(frozen=True, kw_only=True)
class BreakEvenBand:
    """A stretch of a scale on which nobody can say which strike is the best.

    Attributes
    ----------
    low, high
        Its ends, in the scale's unit; None where it goes on beyond the range.
    at
        The break-even point, where the best strikes at the two ends cost the same on average; None if these
        are the same strike.
    below, above
        The best strikes at the low and at the high end.
    strikes
        All strikes that may be the best within it.
    """

    low: float | None
    high: float | None
    at: float | None
    below: str
    above: str
    strikes: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class BreakEvenCurve:
    """What each strike costs along a scale in one wind.

    Attributes
    ----------
    wind
        Which wind, in a few words.
    loss
        Expected strokes, shape (values, strikes, posterior draws, replicates).
    beyond
        Whether an aim off the hole, which no golfer would take, costs clearly less; shape (values, strikes).
    bands
        Where nobody can say which strike is the best; none for a scale of kinds.
    """

    wind: str
    loss: Floats
    beyond: NDArray[np.bool_]
    bands: tuple[BreakEvenBand, ...]

    def difference(self, value: int, strike: int, other: int) -> Estimate:
        """Return what a strike costs more than another at a value."""
        return estimate(self.loss[value, strike] - self.loss[value, other])

    def rank(self, value: int) -> list[int]:
        """Return the strikes at a value, the best first."""
        return [int(k) for k in self.loss[value].mean(axis=(1, 2)).argsort()]

    def find_as_good(self, value: int) -> list[int]:
        """Return the strikes that may be the best at a value, the likeliest first."""
        best, *others = self.rank(value)
        over = {k: self.difference(value, best, k) for k in others}
        undecided = {k: is_undecided(np.array(-o.mean), np.array(o.chance_below)) for k, o in over.items()}
        return [best, *(k for k in others if undecided[k])]


@dataclass(frozen=True, kw_only=True)
class BreakEven:
    """Where the choice between a player's driver strikes changes along a scale.

    Attributes
    ----------
    case
        What was asked about.
    over
        The name of the scale.
    values
        The values looked at; today's is among them if it lies within the scale.
    strikes
        The driver strikes, in the order of the player file.
    curves
        One for each wind.
    holes, draws, seed
        How many holes and drives of each strike it was found from.
    """

    case: Case
    over: ScaleName
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
        """Return the numbers of tipping.json."""
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
            "now": _name(scale, scale.now(case)),
            "values": [_name(scale, value) for value in self.values],
            "strikes": list(self.strikes),
            "curves": [self._curve_dict(curve) for curve in self.curves],
        }

    def _curve_dict(self, curve: BreakEvenCurve) -> dict[str, Any]:
        values = range(len(self.values))
        return {
            "wind": curve.wind,
            "strokes": curve.loss.mean(axis=(2, 3)).tolist(),
            "as_good": [[self.strikes[k] for k in curve.find_as_good(value)] for value in values],
            "beyond": curve.beyond.tolist(),
            "bands": [asdict(band) for band in curve.bands],
        }


def _name(scale: Scale, value: float) -> float | str:
    return scale.names[round(value)] if scale.names else value


# --- the curves -----------------------------------------------------------------------------------


def find_break_even(
    course: Course,
    player: Player,
    over: ScaleName,
    options: RoundOptions = USUAL,
    *,
    hole: int | None = None,
    tee: str | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> BreakEven:
    """Find where another way to hit the driver becomes the better one as one thing changes.

    Parameters
    ----------
    over
        What changes. Everything else stays.
    options
        Conditions, draws and seed. On one hole a 10 mph head wind and a 10 mph tail wind are looked at, too,
        unless it is the wind that changes.
    hole, tee
        The hole and the tee in question; by default the player's own tee, or else the longest.
        Without a hole it is one strike all day
        that is sought, for every par 4 and 5 of the course together. Where another club than the driver is
        better today, that club is hit.
    progress
        Called with the steps done, and those there are.

    Raises
    ------
    InputError
        If the player has only one driver strike, the hole or the tee does not exist, the hole is a par 3, or
        the scale needs a hole.
    """
    options.expect_mean("a break-even point")
    scale, conditions, draws, seed = SCALES[over], options.conditions, options.draws, options.seed
    names = tuple(strike.name for strike in player.drivers)
    if len(names) < 2:
        problem = f"has one driver strike only, {names[0]}"
        raise InputError(player.file, "strikes", problem, "add another strike")
    places = _find_places(course, player, over, hole, tee)
    case = Case(course=course, player=player, conditions=conditions, hole=None if hole is None else places[0])
    winds = _find_winds(case, over)
    now, values = scale.now(case), scale.values_for(case)
    # Today's value is left unchanged, so that it gives the very numbers of a plan.
    rows = [
        [blown if value == now else scale.change(blown, value) for value in values]
        for blown in winds.values()
    ]
    # Cases that differ in nothing but the wind share their drives.
    groups = rows if over == "wind" else list(zip(*rows, strict=True))
    ground = map_in(course, conditions)
    tee_labels = _find_tee_labels(case, places, draws, seed, ground)
    tick = counter(progress, len(winds) * len(values))

    def judge(group: Sequence[Case]) -> list[tuple[Floats, NDArray[np.bool_]]]:
        first = group[0]
        same = first.course is course and first.conditions.firmness == conditions.firmness
        evaluator = _make_evaluator(first, draws, seed, ground if same else None)

        def judge_case(k: int) -> tuple[Floats, NDArray[np.bool_]]:
            found = _find_losses(group[k], evaluator.in_air(group[k].conditions.air), tee_labels)
            tick()
            return found

        return share_out(judge_case, len(group))

    # The first group finds the expected strokes, which the others then read from the disk.
    judged = [judge(groups[0]), *share_out(lambda k: judge(groups[k + 1]), len(groups) - 1)]
    curves = []
    for wind, part in zip(winds, judged if over == "wind" else zip(*judged, strict=True), strict=True):
        loss, beyond = (np.array(arrays) for arrays in zip(*part, strict=True))
        bands = () if scale.names else tuple(find_bands(np.array(values), names, loss))
        curves.append(BreakEvenCurve(wind=wind, loss=loss, beyond=beyond, bands=bands))
    return BreakEven(
        case=case,
        over=over,
        values=values,
        strikes=names,
        curves=tuple(curves),
        holes=len(places),
        draws=draws,
        seed=seed,
    )


def _find_places(
    course: Course, player: Player, over: ScaleName, hole: int | None, tee: str | None
) -> list[tuple[Hole, Tee]]:
    """Return the holes in question, each with its tee."""
    if hole is None and SCALES[over].needs_hole:
        raise InputError("", "over", f"{over} differs from hole to hole", "name a hole, too")
    holes, tees = None if hole is None else [hole], None if tee is None else [tee]
    places = find_own_tees(course, player, holes, tees)
    if hole is not None and places[0][0].par == 3:
        raise InputError("", "hole", f"hole {hole} is a par 3", "choose a par 4 or 5")
    places = [place for place in places if place[0].par > 3]
    if not places:
        raise InputError(course.file, "", "has no par 4 or 5", "give a course that has one")
    return places


def _find_winds(case: Case, over: ScaleName) -> dict[str, Case]:
    """Return the case in each wind that is looked at, by its name."""
    if over == "wind":
        return {"along the hole": case}
    winds = {"as forecast" if case.conditions.air.wind_speed else "calm": case}
    if case.hole is not None:
        winds["10 mph hurting"] = blow_along(case, _BREEZE)
        winds["10 mph helping"] = blow_along(case, -_BREEZE)
    return winds


class _TeeLabels(NamedTuple):
    """A tee, and what is hit from it, as a label, by one who keeps to each driver strike in turn."""

    hole: Hole
    tee: Tee
    labels: tuple[str, ...]


def _find_tee_labels(
    case: Case, places: Sequence[tuple[Hole, Tee]], draws: int, seed: int, ground: GroundMap
) -> list[_TeeLabels]:
    """Return what is hit from each tee: the driver, or over a course another club where it is better today.

    A plan has it so for a golfer who hits the driver one way all day.
    """
    names = tuple(strike.name for strike in case.player.drivers)
    if case.hole is not None:
        return [_TeeLabels(*case.hole, names)]
    evaluator = _make_evaluator(case, draws, seed, ground)

    def judge(k: int) -> _TeeLabels:
        hole, tee = places[k]
        at = evaluator.on_tee(hole, tee, evaluator.value_hole(hole))
        strikes = tuple(aimed.plan for aimed in score_tee(evaluator, at))
        plan = decide(hole, tee, strikes, draws, None, MEAN)
        return _TeeLabels(hole, tee, tuple(allowed(plan, name)[0].label for name in names))

    return share_out(judge, len(places))


def _make_evaluator(case: Case, draws: int, seed: int, ground: GroundMap | None) -> Evaluator:
    return Evaluator(case.course, case.player, case.conditions, MEAN, draws, seed, ground=ground)


def _find_losses(
    case: Case, evaluator: Evaluator, tee_labels: Iterable[_TeeLabels]
) -> tuple[Floats, NDArray[np.bool_]]:
    """Return what each driver strike costs over all tees, and whether an aim off the hole costs clearly less.

    The first has a shape of (strikes, posterior draws, replicates), the second of (strikes,); it is False
    for a whole course.
    """
    places = {strike.label: k for k, strike in enumerate(case.player.strikes)}
    losses, beyond = [], np.zeros(len(case.player.drivers), dtype=np.bool_)
    for hole, tee, labels in tee_labels:
        at = evaluator.on_tee(hole, tee, evaluator.value_hole(hole))
        chosen = {places[label] for label in labels}
        # As in a plan, every club proposes aims to all the others.
        first = look_around(evaluator, at, candidates(evaluator, at))
        aims = settle_aims(evaluator, at, first, [k for k in first.strikes if k in chosen])
        loss = {aim.strike: plan.loss for aim, plan in evaluator.score(aims, at)}
        if case.hole is not None:
            beyond = np.array([aim.beyond for aim in aims])
        if len(loss) < len(chosen):
            raise InputError(
                case.course.file, f"hole {hole.number}, {tee.name} tee",
                "every drive of a strike is out of bounds", "choose another hole or tee",
            )  # fmt: skip
        losses.append([loss[places[label]] for label in labels])
    return np.asarray(np.sum(losses, axis=0)), beyond


# --- the bands ------------------------------------------------------------------------------------


def is_undecided(over: Floats, chance: Floats) -> NDArray[np.bool_]:
    """Return where nobody can say which of two strikes is the better one.

    Parameters
    ----------
    over
        What the strike that is dearer on average costs more than the other [strokes].
    chance
        The chance that it does cost more.

    Examples
    --------
    >>> is_undecided(np.array([0.01, 0.5, 0.5]), np.array([0.99, 0.7, 0.99]))
    array([ True,  True, False])
    """
    return np.asarray((over < CLOSE) | (chance < SURE_ENOUGH))


def find_bands(values: Floats, names: Sequence[str], loss: Floats) -> Iterator[BreakEvenBand]:
    """Yield the bands in which nobody can say which strike is the best, from the least value to the greatest.

    Parameters
    ----------
    values
        Values of a scale, rising.
    names
        Names of the strikes.
    loss
        Expected strokes, shape (values, strikes, posterior draws, replicates).

    Notes
    -----
    Between values, means and standard errors are interpolated (Fritsch and Carlson, SIAM J. Numer. Anal. 17,
    1980).

    Examples
    --------
    Up costs 4 strokes whatever the value; down costs 5 at first and 3 at last.

    >>> loss = np.empty((3, 2, 32, 2))
    >>> loss[:, 0], loss[:, 1] = 4.0, np.array([5.0, 4.0, 3.0])[:, None, None]
    >>> (band,) = find_bands(np.array([80.0, 100.0, 120.0]), ("up", "down"), loss)
    >>> band.below, round(band.low, 1), round(band.at), round(band.high, 1), band.above
    ('up', 99.6, 100, 100.4, 'down')
    """
    fine = np.unique(np.concatenate([values, np.linspace(values[0], values[-1], _FINE)]))
    means = loss.mean(axis=(2, 3))
    # What the strikes have in common would only bend the curves between values.
    cost = PchipInterpolator(values, means - means.mean(axis=1, keepdims=True))
    strikes, best = range(len(names)), cost(fine).argmin(axis=1)
    as_good: NDArray[np.bool_] = np.zeros((len(fine), len(names)), dtype=np.bool_)
    for i, j in permutations(strikes, 2):
        over = cost(fine)[:, j] - cost(fine)[:, i]
        se = _standard_errors(values, loss[:, j] - loss[:, i])(fine)
        undecided = is_undecided(over, chance_below(-over, se, np.array(loss.shape[2] - 1)))
        as_good[:, j] = as_good[:, j] | undecided & (best == i)
    edges = np.flatnonzero(np.diff(np.concatenate([[False], as_good.any(axis=1), [False]]).astype(np.int64)))
    for first, end in zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True):
        last, within = end - 1, slice(first, end)
        below, above = int(best[first]), int(best[last])
        among = {*np.flatnonzero(as_good[within].any(axis=0)).tolist(), *best[within].tolist()}
        crossing = None if below == above else _find_crossing(fine[within], cost(fine[within]), below, above)
        yield BreakEvenBand(
            low=float(fine[first]) if first > 0 else None,
            high=float(fine[last]) if end < len(fine) else None,
            at=crossing,
            below=names[below],
            above=names[above],
            strikes=tuple(names[k] for k in strikes if k in among),
        )


def _standard_errors(values: Floats, over: Floats) -> PchipInterpolator:
    """Return the standard error of a difference along a scale.

    Each value's comes from few draws, so its square is averaged over three neighbouring values.
    """
    squares = np.array([estimate(one).se ** 2 for one in over])
    padded = np.concatenate([squares[:1], squares, squares[-1:]])
    return PchipInterpolator(values, np.sqrt((padded[:-2] + padded[1:-1] + padded[2:]) / 3))


def _find_crossing(fine: Floats, cost: Floats, below: int, above: int) -> float:
    """Return where two strikes cost the same on average; of several such places the middle one."""
    over = cost[:, above] - cost[:, below]
    steps = np.flatnonzero((over[:-1] >= 0) != (over[1:] >= 0))
    if len(steps) == 0:  # they meet at an end
        return float(fine[np.abs(over).argmin()])
    k = int(steps[len(steps) // 2])
    return float(fine[k] + (fine[k + 1] - fine[k]) * over[k] / (over[k] - over[k + 1]))
