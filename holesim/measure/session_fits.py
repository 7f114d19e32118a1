"""Session fits: the golfer of each session by itself, with the strikes told apart over all of them."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from holesim.errors import InputError
from holesim.measure.drives_table import DrivesTable
from holesim.measure.measure import MeasuredPlayer, find_before, fit_drives, list_draws
from holesim.measure.strikes_apart import StrikesApart, separate_strikes
from holesim.player.player import DragSlope, Player, Strike, path_shift
from holesim.player.player_defaults import usual_tee_height
from holesim.player.player_file import SPREAD_UNITS, STRIKE_UNITS, PlayerFile

Floats = NDArray[np.float64]

FEWEST: Final = 5  # drives of a strike in a session


def fit_sessions(
    drives: DrivesTable,
    golfer: PlayerFile,
    *,
    draws: int = 2000,
    seed: int = 1,
    progress: Callable[[float], None] = lambda _: None,
) -> list[MeasuredPlayer]:
    """Fit a golfer to each session of a table by itself.

    So a change of any number shows, of one spread as of another. Strikes are told apart, and named, over all
    sessions together: an attack that has moved is not another strike. A strike of which a session has fewer
    than `FEWEST` drives is left out of it.

    Parameters
    ----------
    drives
        The drives.
    golfer
        The golfer as known without them.
    draws
        How many posterior draws are kept.
    seed
        The same seed and drives give the same draws.
    progress
        Hears which share of the work is done.

    Raises
    ------
    InputError
        If a session has too few drives, or strikes cannot be told apart.
    """
    apart = separate_strikes(drives, golfer.usual)
    before = find_before(drives, golfer, apart.names)
    count = len(drives.sessions)
    return [
        _fit_session(drives, apart, k, before, draws, seed, _from(k, count, progress)) for k in range(count)
    ]


def _from(done: int, count: int, progress: Callable[[float], None]) -> Callable[[float], None]:
    """Return what hears of the progress of one session after some that are done."""
    return lambda share: progress((done + share) / count)


def _fit_session(
    drives: DrivesTable,
    apart: StrikesApart,
    session: int,
    before: Player,
    draws: int,
    seed: int,
    progress: Callable[[float], None],
) -> MeasuredPlayer:
    own = drives.session_of == session
    counts = np.bincount(apart.strike_of[own & (apart.strike_of >= 0)], minlength=len(apart.names))
    hit = np.flatnonzero(counts >= FEWEST)
    if not len(hit):
        problem = f"has {int(counts.max())} drives of one strike on {drives.sessions[session].name}"
        raise InputError(drives.file, "", problem, f"a session needs {FEWEST}, better 20: leave that one out")
    places = np.flatnonzero(own & np.isin(apart.strike_of, hit))
    used, strike_of = drives.select(places), np.searchsorted(hit, apart.strike_of[places])
    names = tuple(apart.names[k] for k in hit.tolist())
    fit = fit_drives(used, strike_of, before, names, draws=draws, seed=seed, progress=progress)
    left_out = drives.select(np.flatnonzero(own & ~np.isin(apart.strike_of, hit)))
    usual = before.usual if before.usual in names else None
    return MeasuredPlayer(used, apart, left_out, names, strike_of, usual, before, fit)


def player_of(found: MeasuredPlayer) -> Player:
    """Return the player that a fit describes, with posterior draws, whatever their strikes are called."""
    means, spreads, common = found.means, found.spreads, found.common
    common_spread = {field: common[field] for field in ("face_path_correlation", "miss_rate")}
    strikes = tuple(
        _strike(
            found.before.driver(name),
            {field: draws[:, s] for field, draws in means.items()},
            {field: draws[:, s] for field, draws in spreads.items()} | common_spread,
            found.before.side,
        )
        for s, name in enumerate(found.names)
    )
    clubs = tuple(strike for strike in found.before.strikes if strike.club != "driver")
    slope = found.fit.drag_slope
    return replace(
        found.before,
        strikes=(*strikes, *clubs),
        drag_slope=None if slope is None else DragSlope(float(slope.mean()), float(slope.std())),
        measured=len(found.drives.lines),
        likely=list_draws(found),
    )


def _strike(known: Strike, means: dict[str, Floats], spreads: dict[str, Floats], side: float) -> Strike:
    """Return a strike with what was found of it, and how surely."""
    fields = [field for field, _ in STRIKE_UNITS.values() if field in means]
    sizes = [field for field, _ in SPREAD_UNITS.values() if field in spreads]
    value: dict[str, Any] = {field: float(means[field].mean()) for field in fields}
    spread = replace(
        known.spread,
        **{field: float(spreads[field].mean()) for field in sizes},
        at_speed=value["club_speed"],
        se={field: float(spreads[field].std()) for field in sizes},
        assumed=known.spread.assumed - set(sizes),
        own=known.spread.own | (set(sizes) - {"face_path_correlation", "miss_rate"}),
    )
    return replace(
        known,
        **value,
        path=value["swing_line"] + path_shift(value["attack"], side),
        tee_height=usual_tee_height(value["attack"], value["high"]),
        spread=spread,
        se={field: float(means[field].std()) for field in fields},
        assumed=frozenset(known.assumed - set(fields)),
    )
