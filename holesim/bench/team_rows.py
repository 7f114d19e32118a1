"""Time of a team plan."""

import tempfile
from dataclasses import replace
from functools import partial
from typing import Final

import numpy as np

from holesim.bench.demo_setup import demo_course
from holesim.bench.records import AT_MOST, Row, Sizes
from holesim.bench.timing import least_seconds, run_alone, threads_text
from holesim.common import parallel
from holesim.plan.round_options import RoundOptions
from holesim.player.make_player import typical_player
from holesim.team.handicap import Format
from holesim.team.planner import USUAL_TEAM, plan_team
from holesim.team.team_file import Team
from holesim.units import MPH

FORMATS: Final[tuple[Format, ...]] = ("greensomes", "foursomes", "four-ball", "stroke")  # the slowest first


def team_rows(sizes: Sizes) -> list[Row]:
    """Return the time of a team plan, the first time and with stored expected strokes."""
    size = {"members": sizes.members, "holes": sizes.holes}
    team = f"{sizes.members} players, {sizes.holes} holes, on {threads_text(parallel.count())}"
    rows = []
    with tempfile.TemporaryDirectory() as empty:
        first = run_alone(team_seconds, size | {"formats": 1, "seed": 1}, HOLESIM_CACHE=empty)
        again = run_alone(team_seconds, size | {"formats": len(FORMATS), "seed": 2}, HOLESIM_CACHE=empty)
    for found, when in ((first, "the first time"), (again, "with expected strokes stored")):
        for format_, seconds in found.items():
            rows.append(Row("team", f"{team}: {format_}, {when}", seconds, "s", AT_MOST, 30))
    return rows


def team_seconds(*, members: int, holes: int, formats: int, seed: int) -> dict[str, float]:
    """Return the seconds that a team plan takes in each of the first `formats`.

    It is for a process of its own. Other ground is planned first, so that everything is compiled and nothing
    else is stored. Each format has a seed of its own, from `seed` on, so that no round is stored.
    """
    course, found = demo_course(), dict[str, float]()
    soft = RoundOptions(ground="soft")
    for k, format_ in enumerate(FORMATS[:formats]):
        options = USUAL_TEAM.changed(seed=seed + k)
        plan_team(replace(course, holes=course.holes[:1]), _team(2), format_, soft)
        played = replace(course, holes=course.holes[:holes])
        found[format_] = least_seconds(1, partial(plan_team, played, _team(members), format_, options))
    return found


def _team(members: int) -> Team:
    """Return a team whose handicaps run from -2 to 20; the better players swing faster."""
    players = tuple(
        typical_player(f"Player {k}", "man", -2 + 22 * t, (118 - 30 * t) * MPH)
        for k, t in enumerate(np.linspace(0, 1, members))
    )
    return Team(
        name="Vantle Skerry", players=players, opponents=(), order_known=False, allowances={}, tees={},
        ratings={}, file="team.toml", sha256="",
    )  # fmt: skip
