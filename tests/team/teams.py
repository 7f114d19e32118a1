"""Made-up teams, courses, and score chances, for the tests of a captain's plan."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.affinity import translate

from holesim.course.course import Area, Course
from holesim.plan.round_options import RoundOptions
from holesim.plan.sights import Mark, Sight
from holesim.player.make_player import typical_player
from holesim.player.player import Player
from holesim.team.handicap import Format
from holesim.team.planner import plan_team
from holesim.team.strike_scores import DRAW_SETS, MOST_FROM_TEE, StrikeScores, pad_to_scores
from holesim.team.team_file import Team
from holesim.team.team_plan import TeamPlan
from holesim.units import MPH
from tests.conftest import straight_course

Floats = NDArray[np.float64]

APART = 900.0  # m between holes
FEW = RoundOptions(draws=256)

LONG = replace(typical_player("Bram Orrel", "man", 2.0, 114 * MPH), can_choose=True)
SHORT = replace(typical_player("Tobias Wren", "man", 4.0, 88 * MPH), can_choose=True)
OTHERS = [typical_player(f"Player {k}", "man", 3.0 * k, (112 - 4 * k) * MPH) for k in range(4)]


def in_a_row(*holes: tuple[int, float], boundary: float = 50) -> Course:
    """Return a course of holes beside one another, by par and yards, each with its own boundary."""
    areas: list[Area] = []
    rows, edges = [], []
    for number, (par, yards) in enumerate(holes, 1):
        one = straight_course(yards, par=par, boundary=boundary)

        def moved(shape: Any, x: float = APART * number) -> Any:  # noqa: ANN401 - any geometry
            return translate(shape, x)

        hole, x = one.holes[0], APART * number
        (tee,) = hole.tees
        rows.append(
            replace(
                hole, number=number, stroke_index=number, line=moved(hole.line),
                tees=(replace(tee, x=tee.x + x),), green=moved(hole.green),
                pin=(hole.pin[0] + x, hole.pin[1]),
            )
        )  # fmt: skip
        areas += [replace(area, outline=moved(area.outline)) for area in one.areas]
        edges.append(moved(one.boundary))
    return Course("In a Row", tuple(rows), tuple(areas), shapely.MultiPolygon(edges), "row.geojson", "0" * 64)


TWO_HOLES = in_a_row((4, 410), (3, 160))


def team_of(*players: Player, opponents: Sequence[Player] = (), order_known: bool = True) -> Team:
    return Team(
        name="Vantle Skerry", players=players, opponents=tuple(opponents), order_known=order_known,
        allowances={}, tees={}, ratings={}, file="team.toml", sha256="0" * 64,
    )  # fmt: skip


def renamed(player: Player, name: str) -> Player:
    return replace(player, name=name)


def planned(course: Course, team: Team, format_: Format, **options: Any) -> TeamPlan:  # noqa: ANN401 - of any kind
    return plan_team(course, team, format_, FEW, **options)


def chances(*of_strokes: float) -> Floats:
    """Return the chance of 1, 2, … strokes, the same in every draw set."""
    padded = np.pad(np.array(of_strokes), (0, MOST_FROM_TEE - len(of_strokes)))
    return pad_to_scores(padded) * np.ones((DRAW_SETS, 1))


def drawn(rng: np.random.Generator, most: int = 8) -> Floats:
    return chances(*rng.dirichlet(np.ones(most)))


def strike_scores(label: str, in_play: Floats, in_trouble: Floats | None = None) -> StrikeScores:
    return StrikeScores(
        label=label, club="driver", mark=Mark(Sight("the flag", 0.0, 150.0), 0.0), in_play=in_play,
        in_trouble=np.zeros_like(in_play) if in_trouble is None else in_trouble,
    )  # fmt: skip
