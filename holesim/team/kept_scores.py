"""What is kept on disk of a team's plan: each player's scores, tables of sides, and the pairs of a plan.

Each is named by a digest of all that decides it, and is found anew where it is missing or damaged.
"""

from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from hashlib import blake2b
from pathlib import Path
from typing import Final, TypeVar

import numba
import numpy as np
import scipy
import shapely
from numpy.typing import NDArray

from holesim.common import disk_cache
from holesim.common.record_digest import record_digest
from holesim.course.course import Course
from holesim.course.holes import Tee
from holesim.plan.round_options import RoundOptions
from holesim.plan.sights import Mark, Sight
from holesim.player.player import Player
from holesim.team.roster_scores import Round
from holesim.team.side_options import SideOption
from holesim.team.strike_scores import StrikeScores

Floats = NDArray[np.float64]
_One = TypeVar("_One")

PairByHole = list[list[tuple[SideOption, ...]]]
"""By hole, then by who drives, what a pair may do with one ball."""

_DECIDE: Final = ("common", "course", "data", "player", "shot", "scoring", "plan", "team")
"""Packages whose code and tables decide what is kept."""


@cache
def code_digest() -> str:
    """Return a digest of the code, the tables and the libraries that decide scores."""
    package, made = Path(__file__).parents[1], blake2b(digest_size=20)
    for name in _DECIDE:
        for source in sorted((*(package / name).rglob("*.py"), *(package / name).rglob("*.csv"))):
            made.update(f"{source.relative_to(package)};".encode() + source.read_bytes())
    for library in (np, scipy, shapely, numba):
        made.update(f"{library.__version__};".encode())
    return made.hexdigest()


# --- a player's round -----------------------------------------------------------------------------------


def round_name(course: Course, player: Player, tees: Sequence[Tee], options: RoundOptions, place: int) -> str:
    """Return the name under which a player's round is kept.

    Parameters
    ----------
    tees
        By hole.
    place
        The player's place in the roster, which sets the order of the draw sets.
    """
    # What they are called, and which file states them, decides nothing.
    where = replace(course, name="", file="", sha256="", guesses=())
    who = replace(player, name="", file="", sha256="")
    return record_digest("round", code_digest(), where, who, tuple(tees), options, place)


def save_round(name: str, round_: Round) -> None:
    """Keep a player's round."""
    strikes = [strike for on_hole in round_ for strike in on_hole]
    sights = [strike.mark.sight for strike in strikes]
    disk_cache.save(
        name,
        {
            "counts": np.array([len(on_hole) for on_hole in round_]),
            "words": np.array([(one.label, one.club, one.mark.sight.label) for one in strikes]),
            "marks": np.array(
                [(s.bearing, s.distance, one.mark.offset) for s, one in zip(sights, strikes, strict=True)]
            ),
            "in_play": np.stack([strike.in_play for strike in strikes]),
            "in_trouble": np.stack([strike.in_trouble for strike in strikes]),
        },
    )


def load_round(name: str) -> Round | None:
    """Return a player's round; none where it is not kept."""
    kept = disk_cache.load(name)
    if kept is None:
        return None
    words, marks = kept["words"].tolist(), kept["marks"].tolist()
    strikes = [
        StrikeScores(
            label=label,
            club=club,
            mark=Mark(Sight(sight, bearing, distance), offset),
            in_play=in_play,
            in_trouble=in_trouble,
        )
        for (label, club, sight), (bearing, distance, offset), in_play, in_trouble in zip(
            words, marks, kept["in_play"], kept["in_trouble"], strict=True
        )
    ]
    return _split(strikes, kept["counts"])


# --- a table of sides -----------------------------------------------------------------------------------


def save_table(name: str, strokes: Floats, points: Floats) -> None:
    """Keep the strokes and points of a `SideTable`."""
    disk_cache.save(name, {"strokes": strokes, "points": points})


def load_table(name: str) -> tuple[Floats, Floats] | None:
    """Return the strokes and points of a `SideTable`; none where they are not kept."""
    kept = disk_cache.load(name)
    return None if kept is None else (kept["strokes"], kept["points"])


# --- a pair with one ball -------------------------------------------------------------------------------


def save_pair(name: str, by_hole: PairByHole) -> None:
    """Keep what a pair may do with one ball on each hole."""
    by_driver = [options for on_hole in by_hole for options in on_hole]
    each = [option for options in by_driver for option in options]
    disk_cache.save(
        name,
        {
            "drivers": np.array([len(on_hole) for on_hole in by_hole]),
            "counts": np.array([len(options) for options in by_driver]),
            "strikes": np.array([option.strikes for option in each]),
            "first": np.array([option.first for option in each]),
            "chances": np.stack([option.chances for option in each]),
        },
    )


def load_pair(name: str) -> PairByHole | None:
    """Return what a pair may do with one ball on each hole; none where it is not kept."""
    kept = disk_cache.load(name)
    if kept is None:
        return None
    each = [
        SideOption(tuple(strikes), chances, first=first)
        for strikes, chances, first in zip(
            kept["strikes"].tolist(), kept["chances"], kept["first"].tolist(), strict=True
        )
    ]
    by_driver = [tuple(options) for options in _split(each, kept["counts"])]
    return _split(by_driver, kept["drivers"])


def _split(values: list[_One], counts: NDArray[np.int64]) -> list[list[_One]]:
    ends = np.cumsum(counts).tolist()
    return [values[end - count : end] for end, count in zip(ends, counts.tolist(), strict=True)]
