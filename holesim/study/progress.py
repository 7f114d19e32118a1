"""Progress: what changed in a golfer's swing between sessions, and whether it is more than a good day."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import erf, hypot, sqrt
from typing import Any, Final

from holesim._version import __version__
from holesim.errors import InputError
from holesim.measure.drives_table import Session
from holesim.player.player import StrikeName
from holesim.player.population import (
    CHANGE_SHARE,
    CHANGE_SPREAD_LOG_SD,
    DAY_SHARE,
    DAY_SPREAD_LOG_SD,
)
from holesim.study.progress_worth import StrokesChange
from holesim.study.session_golfers import NUMBERS, Number, SessionGolfer

SCHEMA: Final = 1
CONFIDENCE: Final = 0.9
_NORMAL_90: Final = 1.6449  # standard deviations of a normal 90 % interval


@dataclass(frozen=True, kw_only=True)
class NumberChange:
    """How a number changed from the first session to the last, in SI, on average over the strikes.

    Attributes
    ----------
    number
        Which it is.
    values
        What it was in each session.
    low, high
        The 90 % interval of the change as measured, which is the last of `values` less the first.
    chance
        The chance that the golfer's own number moved that way, and not the day's alone.
    """

    number: Number
    values: tuple[float, ...]
    low: float
    high: float
    chance: float

    @property
    def change(self) -> float:
        """By how much it changed."""
        return self.values[-1] - self.values[0]

    @property
    def shows(self) -> bool:
        """Whether the sessions differ by more than the drives leave open."""
        return not self.low <= 0 <= self.high


@dataclass(frozen=True, kw_only=True)
class Progress:
    """What changed between sessions.

    Attributes
    ----------
    golfer
        The golfer's name.
    strikes
        The driver strikes that were hit in all sessions, as the last one calls them; none of rounds.
    before
        What the first session calls them. If each session has one strike alone it is taken for the same one,
        whatever its attack makes it called.
    sessions, drives
        Each session, the first one first, and how many drives it has.
    changes
        What changed, of the numbers that the drives tell.
    untold
        The numbers of which they tell too little to compare them.
    strokes
        What that is worth on a course; None where no course was given.
    """

    golfer: str
    strikes: tuple[StrikeName, ...]
    before: tuple[StrikeName, ...]
    sessions: tuple[Session, ...]
    drives: tuple[int, ...]
    changes: tuple[NumberChange, ...]
    untold: tuple[Number, ...] = ()
    strokes: StrokesChange | None = None

    def to_dict(self) -> dict[str, Any]:
        """Return what `holesim progress --json` prints."""
        counts = zip(self.sessions, self.drives, strict=True)
        return {
            "schema": SCHEMA,
            "holesim": __version__,
            "player": self.golfer,
            "strikes": {"first": list(self.before), "last": list(self.strikes)},
            "sessions": [{"name": session.name, "drives": drives} for session, drives in counts],
            "confidence": CONFIDENCE,
            "changes": {
                change.number.key: {
                    "sessions": [value / change.number.unit for value in change.values],
                    "change": change.change / change.number.unit,
                    "low": change.low / change.number.unit,
                    "high": change.high / change.number.unit,
                    "chance": change.chance,
                }
                for change in self.changes
            },
            "untold": [number.key for number in self.untold],
            "strokes": None if self.strokes is None else self.strokes.to_dict(),
        }


def compare_sessions(sessions: Sequence[SessionGolfer]) -> Progress:
    """Say what changed from the first session to the last.

    Parameters
    ----------
    sessions
        In their order.

    Raises
    ------
    InputError
        If there is but one session, they are of golfers of different hands, or they have no strike or no
        number in common.

    Notes
    -----
    What is measured in a session is the golfer's own number, that day's deviation from it, and an error, all
    normal. Lasting changes have a prior about nought whose standard deviation is `CHANGE_SHARE` of that from
    swing to swing; a day's deviations have `DAY_SHARE` of it. Of a spread they are `CHANGE_SPREAD_LOG_SD` and
    `DAY_SPREAD_LOG_SD` of the spread. The chance follows by the normal distribution (Gelman et al., Bayesian
    Data Analysis, 2013, ch. 2.5). Sessions between the first and the last are not used.

    Examples
    --------
    Every other drive of one session, compared with the rest, shows no change:

    >>> from dataclasses import replace
    >>> import numpy as np
    >>> from holesim.data.examples import PLAYER, find
    >>> from holesim.measure.drives_table import load_drives
    >>> from holesim.shot.club_speeds import load_player_file
    >>> from holesim.study.session_golfers import measure_sessions
    >>> table = load_drives(find("range/demo.csv"), balls="range")
    >>> halves = replace(
    ...     table, sessions=(Session("odd"), Session("even")), session_of=np.arange(len(table.lines)) % 2
    ... )
    >>> golfer, _ = load_player_file(find(PLAYER))
    >>> found = compare_sessions(measure_sessions(halves, golfer, draws=100))
    >>> found.drives, len(found.changes), max(change.chance for change in found.changes) < 0.95
    ((20, 20), 11, True)
    """
    first, last = _check_sessions(sessions)
    places = _pair_strikes(sessions)
    told = [n for n in NUMBERS if all(session.tells(n) for session in sessions)]
    if not told:
        problem = f"and {first.session.name} have no number in common that their drives tell"
        raise InputError(last.session.name, "", problem, "measure the same columns on both days")
    return Progress(
        golfer=last.player.name,
        strikes=tuple(last.names[k] for k in places[-1]),
        before=tuple(first.names[k] for k in places[0]),
        sessions=tuple(session.session for session in sessions),
        drives=tuple(session.drives for session in sessions),
        changes=tuple(_compare(sessions, places, number) for number in told),
        untold=tuple(number for number in NUMBERS if number not in told),
    )


def _check_sessions(sessions: Sequence[SessionGolfer]) -> tuple[SessionGolfer, SessionGolfer]:
    """Return the first session and the last; raise an error where they cannot be compared."""
    first, last = sessions[0], sessions[-1]
    if len(sessions) < 2:
        problem, remedy = "is one session alone", "give two, or a table with two dates"
        raise InputError(first.session.name, "", problem, remedy)
    other = next((s for s in sessions if s.player.hand != first.player.hand), None)
    if other is not None:
        problem = f"is of a {other.player.hand}-hander, {first.session.name} of a {first.player.hand}-hander"
        raise InputError(other.session.name, "", problem, "give the sessions of one golfer")
    check_golfer((session.session.name, session.player.name) for session in sessions)
    return first, last


def check_golfer(names: Iterable[tuple[str, str]]) -> None:
    """Make sure that sessions are of one golfer, given the name of each session and of its golfer.

    Raises
    ------
    InputError
        If not.
    """
    (first, golfer), *others = names
    for session, name in others:
        if name.casefold() != golfer.casefold():
            problem = f"is of {name:.40}, and {first} of {golfer:.40}"
            raise InputError(session, "", problem, "give the sessions of one golfer")


def _pair_strikes(sessions: Sequence[SessionGolfer]) -> list[list[int]]:
    """Return which strikes of each session are compared, by their places there."""
    first, last = sessions[0], sessions[-1]
    names = [name for name in first.names if all(name in session.names for session in sessions)]
    if names:
        return [[session.names.index(name) for name in names] for session in sessions]
    if all(len(session.names) == 1 for session in sessions):
        return [[0] for _ in sessions]
    hit = f"{' and '.join(last.names)}, and in {first.session.name} {' and '.join(first.names)}"
    raise InputError(last.session.name, "", f"has drives of {hit}", "compare sessions of one strike")


def _compare(sessions: Sequence[SessionGolfer], places: Sequence[list[int]], number: Number) -> NumberChange:
    values, errors, widths = [], [], []
    for session, strikes in zip(sessions, places, strict=True):
        draws = session.draws_of(number)[:, strikes].mean(axis=1)
        values.append(float(draws.mean()))
        errors.append(float(draws.std()))
        widths.append(float(session.swing_sd(number.axis)[strikes].mean()))
    days = sqrt(sum(1 / max(len(session.dates), 1) for session in (sessions[0], sessions[-1])))
    return find_change(number, values, errors, (widths[0] + widths[-1]) / 2, days=days)


def find_change(
    number: Number, values: Sequence[float], errors: Sequence[float], width: float, *, days: float = sqrt(2)
) -> NumberChange:
    """Return how a number changed, given it in each session.

    Parameters
    ----------
    values, errors
        The number in each session, and its standard error.
    width
        The deviation from swing to swing that belongs to a mean; a spread itself.
    days
        The standard deviation of the difference of two sessions' days, in those of one day.
    """
    change, se = values[-1] - values[0], hypot(errors[0], errors[-1])
    day, lasting = (DAY_SPREAD_LOG_SD, CHANGE_SPREAD_LOG_SD) if number.spread else (DAY_SHARE, CHANGE_SHARE)
    return NumberChange(
        number=number,
        values=tuple(values),
        low=change - _NORMAL_90 * se,
        high=change + _NORMAL_90 * se,
        chance=chance_of_change(change, hypot(se, days * day * width), lasting * width),
    )


def chance_of_change(change: float, sd: float, lasting: float) -> float:
    """Return the chance that a golfer's own number moved the way that two sessions differ.

    Parameters
    ----------
    change
        By how much the sessions differ.
    sd
        The standard deviation of that about the lasting change: of its error and of both days together.
    lasting
        The standard deviation of lasting changes about nought.

    Examples
    --------
    >>> round(chance_of_change(2.0, sd=0.5, lasting=1.0), 3)
    1.0
    >>> round(chance_of_change(2.0, sd=1.5, lasting=1.0), 2)
    0.77
    """
    z = abs(change) / sd * sqrt(lasting**2 / (lasting**2 + sd**2))
    return 0.5 + 0.5 * erf(z / sqrt(2))
