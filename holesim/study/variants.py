"""A golfer, or a hole, with one thing changed and the rest left as it is."""

from collections.abc import Callable
from dataclasses import replace
from math import cos, hypot, sin
from typing import Final

import numpy as np
import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from holesim.course.course import Area, Course, Ground
from holesim.course.ground_map import GroundMap
from holesim.course.holes import Hole, Tee
from holesim.plan import sights
from holesim.player.player import LOFT_BY_ATTACK, LOFT_BY_SPEED, Player, Strike, StrikeName, path_shift
from holesim.player.player_defaults import usual_driver

_BESIDE: Final = 30.0  # m: a fairway this near a hole's line belongs to that hole
_ACROSS: Final = 80.0  # m either side of the line, in which a fairway's edges are sought
_STEP: Final = 0.25  # m


# --- the golfer -----------------------------------------------------------------------------------


def _change_drivers(player: Player, change: Callable[[Strike], Strike]) -> Player:
    """Return the player with each driver strike changed."""
    strikes = tuple(change(s) if s.club == "driver" else s for s in player.strikes)
    return replace(player, strikes=strikes)


def add_club_speed(player: Player, gain: float) -> Player:
    """Return the player with a driver swing faster by `gain` [m/s], gained by training.

    The driver is fitted for the new speed. A trained gain keeps the spread, where swinging harder would
    widen it.
    """
    return _change_drivers(
        player,
        lambda s: replace(
            s,
            club_speed=s.club_speed + gain,
            dynamic_loft=s.dynamic_loft + LOFT_BY_SPEED * gain,
            spread=replace(s.spread, at_speed=s.spread.at_speed + gain),
        ),
    )


def scale_face_spread(player: Player, factor: float) -> Player:
    """Return the player with the spread of the driver's face angle multiplied by `factor`."""
    return _change_drivers(player, lambda s: _scale_spread(s, factor, "face"))


def centre_strikes(player: Player, factor: float) -> Player:
    """Return the player with driver strikes centred between heel and toe, their scatter times `factor`."""
    return _change_drivers(player, lambda s: _scale_spread(replace(s, toe=0.0), factor, "toe", "high"))


def _scale_spread(strike: Strike, factor: float, *fields: str) -> Strike:
    """Return the strike with some standard deviations, and their standard errors, times `factor`."""
    spread = strike.spread
    scaled = {field: factor * getattr(spread, field) for field in fields}
    se = {field: factor * se if field in fields else se for field, se in spread.se.items()}
    return replace(strike, spread=replace(spread, **scaled, se=se))


def add_attack(player: Player, angle: float) -> Player:
    """Return the player with a driver attack angle higher by `angle` [rad], teed and lined up for it.

    The swing line turns so that the path stays.
    """

    def change(s: Strike) -> Strike:
        attack = s.attack + angle
        return replace(
            s,
            attack=attack,
            dynamic_loft=s.dynamic_loft + LOFT_BY_ATTACK * angle,
            swing_line=s.path - path_shift(attack, player.side),
        )

    return _change_drivers(player, change)


def add_strike(player: Player, name: StrikeName) -> Player:
    """Return the player with one more driver strike: the default for them, with the spread they have."""
    return replace(player, strikes=(usual_driver(player, name), *player.strikes))


# --- the hole -------------------------------------------------------------------------------------


def measure_fairway(hole: Hole, tee: Tee, ground: GroundMap, distance: float) -> float:
    """Return the width of a hole's fairway [m] at a distance [m] from the tee; 0 where there is none.

    It is measured square to the hole's line, across the stretch of fairway nearest to it.
    """
    bearing = sights.line_bearing(hole, tee, distance)
    x, y = _find_on_line(hole, tee, distance)
    across = np.arange(-_ACROSS, _ACROSS + _STEP, _STEP)
    mown = ground.at(x + across * cos(bearing), y - across * sin(bearing)) == Ground.FAIRWAY
    if not mown.any():
        return 0.0
    edges = np.flatnonzero(np.diff(np.concatenate([[False], mown, [False]]).astype(int)))
    stretches = list(zip(edges[::2], edges[1::2], strict=True))
    first, last = min(stretches, key=lambda s: max(across[s[0]], -across[s[1] - 1], 0.0))
    return float(_STEP * (last - first))


def _find_on_line(hole: Hole, tee: Tee, distance: float) -> tuple[float, float]:
    """Return the last point of a hole's line within a distance of the tee."""
    points = shapely.get_coordinates(shapely.segmentize(hole.line, 1.0))
    away = [hypot(x - tee.x, y - tee.y) for x, y in points]
    x, y = points[max(i for i, far in enumerate(away) if far <= distance)]
    return float(x), float(y)


def widen_fairway(course: Course, hole: Hole, change: float) -> Course:
    """Return the course with one hole's fairways wider by `change` [m], or narrower if that is negative.

    Trees stay where they are. What a fairway gives up becomes rough.
    """
    near = hole.line.buffer(_BESIDE)
    trees = shapely.union_all([area.outline for area in course.areas if area.ground is Ground.TREES])
    areas: list[Area] = []
    for area in course.areas:
        if area.ground is not Ground.FAIRWAY or not area.outline.intersects(near):
            areas.append(area)
            continue
        moved = area.outline.buffer(change / 2)
        wide = moved.difference(trees.difference(area.outline)) if change > 0 else moved
        areas += [replace(area, outline=outline) for outline in _polygons(wide)]
        if course.maps_rough:  # a course that maps none has rough wherever nothing is drawn
            given_up = area.outline.difference(wide)
            areas += [Area(Ground.ROUGH, outline, area.label) for outline in _polygons(given_up)]
    return replace(course, areas=tuple(areas))


def _polygons(shape: BaseGeometry) -> list[Polygon]:
    parts = shapely.get_parts(shape)
    return [part for part in parts if isinstance(part, Polygon) and not part.is_empty]
