"""The demo course and player, set up stage by stage for the bench."""

from collections.abc import Sequence
from functools import cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from holesim.bench import reference
from holesim.course.course import Course
from holesim.course.course_file import load_course
from holesim.course.ground_map import GroundMap, map_ground
from holesim.course.holes import Hole, Tee
from holesim.data.examples import COURSE, PLAYER, find
from holesim.plan import sights
from holesim.plan.aim_search import SearchDrives, Site, costs
from holesim.plan.plan import make_plan
from holesim.plan.round_options import RoundOptions
from holesim.player.player import Player, StrikeName
from holesim.scoring import strokes_table
from holesim.scoring.expected_strokes import ExpectedStrokes, solve_hole, strokes_by_distance
from holesim.scoring.shot_dispersion import ClubDispersion, club_dispersion
from holesim.scoring.skill import find_dispersion_skill, find_skill
from holesim.shot.air import Air, make_air
from holesim.shot.bounce import surfaces
from holesim.shot.club_speeds import load_player
from holesim.shot.deliveries import Draws, make_draws, sample
from holesim.shot.flight import Landings, Tracks
from holesim.shot.impact import Launches, choose_head, impact
from holesim.shot.landing import land
from holesim.shot.relief import HoleConstants, blank_drop_cache, hole_constants
from holesim.units import DEGREE

Floats = NDArray[np.float64]

STRIKES: Final[tuple[StrikeName, ...]] = ("up", "down")

OPEN: Final = 13

TIGHT: Final = 4

LINE_DISTANCE: Final = 220.0  # m from the tee, of the point of the hole's line that is aimed at


@cache
def demo_course() -> Course:
    """Return the demo course."""
    return load_course(find(COURSE))


@cache
def demo_player() -> Player:
    """Return the demo player."""
    return load_player(find(PLAYER))


@cache
def demo_ground() -> GroundMap:
    """Return the demo course's ground map."""
    return map_ground(demo_course())


def demo_hole(number: int) -> Hole:
    """Return a hole of the demo course."""
    return next(hole for hole in demo_course().holes if hole.number == number)


def breeze() -> Air:
    """Return the air in which plans are timed: a breeze of 12 mph."""
    return make_air(wind_mph=12, wind_from_deg=250)


def skill_of(player: Player) -> strokes_table.Skill:
    """Return the skill of a player."""
    return find_skill(player.handicap_index, player.club_speed, player.sex)


def dispersion_of(player: Player) -> ClubDispersion:
    """Return the dispersion of a player's shots off the ground."""
    return club_dispersion(find_dispersion_skill(player.handicap_index, player.club_speed, player.sex))


def solve_demo_hole(hole: Hole, ground: GroundMap) -> ExpectedStrokes:
    """Return the expected strokes of the demo player, solved on a hole."""
    return solve_hole(
        dispersion_of(demo_player()), strokes_table.make_strokes_table(skill_of(demo_player())), hole, ground
    )


def strokes_from_table(skill: strokes_table.Skill, hole: Hole, ground: GroundMap) -> ExpectedStrokes:
    """Return the expected strokes of a skill, by lie and distance."""
    return strokes_by_distance(strokes_table.make_strokes_table(skill), hole, ground)


def demo_drives(draws: int, strike: StrikeName = "up") -> Launches:
    """Return launches of the demo player's drives."""
    return make_launches(demo_player(), strike, make_draws(draws, 1, np.random.default_rng(1)))


def make_launches(player: Player, name: StrikeName, draws: Draws) -> Launches:
    """Return launches of one strike, with the dispersion of the player's file."""
    strike = player.driver(name)
    deliveries = sample(strike, draws, spin=1.0, mean_spin=1.0)
    return impact(deliveries, choose_head(strike.kind, strike.club_speed), side=player.side)


def land_drives(launches: Launches, tee: Tee, heading: float) -> tuple[Landings, Tracks]:
    """Return landings and tracks of drives from a tee of the demo course, in the breeze."""
    return land(launches, breeze(), demo_ground(), heading=heading, origin=(tee.x, tee.y))


def aim_headings(hole: Hole, tee: Tee, aims: int, *, apart: float = 0.5 * DEGREE) -> Floats:
    """Return `aims` headings [rad] about the line of the hole, `apart` [rad] from each other."""
    middle = sights.line_bearing(hole, tee, LINE_DISTANCE)
    return np.asarray(middle + apart * (np.arange(aims) - aims // 2), dtype=np.float64)


def constants_of(hole: Hole, tee: Tee, expected: ExpectedStrokes) -> HoleConstants:
    """Return the numbers that relief needs of a hole."""
    return hole_constants(
        tee=(tee.x, tee.y), pin=hole.pin, green=hole.green, expected=expected.grid,
        lost_in_trees=strokes_table.LOST_IN_TREES, lost_in_heavy_rough=strokes_table.LOST_IN_HEAVY_ROUGH,
    )  # fmt: skip


def make_site(hole: Hole, tee: Tee) -> Site:
    """Return a tee of the demo course as the search needs it, for the demo player."""
    expected = strokes_from_table(skill_of(demo_player()), hole, demo_ground())
    return Site(demo_ground(), constants_of(hole, tee, expected), blank_drop_cache(demo_ground()))


def make_sites(
    ground: GroundMap, skill: strokes_table.Skill, holes: int, tees: int
) -> list[tuple[Hole, Tee, Site]]:
    """Return the first tees of the first holes; the tees of a hole share its costs of drops."""
    found = []
    for hole in demo_course().holes[:holes]:
        expected, memory = strokes_from_table(skill, hole, ground), blank_drop_cache(ground)
        for tee in hole.tees[:tees]:
            site = Site(ground, constants_of(hole, tee, expected), memory)
            found.append((hole, tee, site))
    return found


def search_tee(
    sites: Sequence[tuple[Hole, Tee, Site]], drives: Sequence[SearchDrives], aims: int, place: int
) -> list[Floats]:
    """Return the costs of every aim on tee number `place`, for each strike."""
    hole, tee, site = sites[place]
    return [costs(struck, aim_headings(hole, tee, aims), site) for struck in drives]


def plain_hole(hole: Hole, tee: Tee, expected: ExpectedStrokes) -> reference.PlainHole:
    """Return a hole as the reference needs it."""
    return reference.PlainHole(
        ground=reference.PlainGround.of(demo_course()), tee=(tee.x, tee.y), pin=hole.pin, green=hole.green,
        surfaces=surfaces("medium"), expected=expected,
    )  # fmt: skip


def plan_hole() -> str:
    """Return the content of plan.json for one hole of the demo course."""
    return make_plan(demo_course(), demo_player(), RoundOptions(draws=256), holes=[TIGHT]).to_json()
