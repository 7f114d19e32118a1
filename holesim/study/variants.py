"""A golfer, or a hole, with one thing changed and the rest as it was."""

from collections.abc import Callable
from dataclasses import replace
from math import cos, hypot, sin

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

_BESIDE = 30.0  # m from a hole's line, within which a fairway is that hole's


def with_drivers(player: Player, change: Callable[[Strike], Strike]) -> Player:
    """Return a player each of whose driver strikes is changed."""
    strikes = tuple(change(s) if s.club == "driver" else s for s in player.strikes)
    return replace(player, strikes=strikes)


def faster(player: Player, gain: float) -> Player:
    """Return a player who swings the driver faster by `gain` [m/s], by training, and is fitted for it.

    A trained gain keeps the spread, where swinging harder would widen it. The rest of the game stays as it
    is.
    """
    return with_drivers(
        player,
        lambda s: replace(
            s,
            club_speed=s.club_speed + gain,
            dynamic_loft=s.dynamic_loft + LOFT_BY_SPEED * gain,
            spread=replace(s.spread, at_speed=s.spread.at_speed + gain),
        ),
    )


def with_face(player: Player, share: float) -> Player:
    """Return a player whose face varies so many times as much, with the driver."""
    return with_drivers(player, lambda s: _scaled(s, share, "face"))


def centred(player: Player, share: float) -> Player:
    """Return a player who strikes the driver about the middle of the face, so many times as scattered."""
    return with_drivers(player, lambda s: _scaled(replace(s, toe=0.0), share, "toe", "high"))


def _scaled(strike: Strike, share: float, *fields: str) -> Strike:
    """Return a strike some of whose deviations are so many times as wide, and as surely known."""
    spread = strike.spread
    wide = {field: share * getattr(spread, field) for field in fields}
    se = {field: share * se if field in fields else se for field, se in spread.se.items()}
    return replace(strike, spread=replace(spread, **wide, se=se))


def steeper(player: Player, angle: float) -> Player:
    """Return a player whose driver comes up more by `angle` [rad], who tees and lines up for it.

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

    return with_drivers(player, change)


def who_owns(player: Player, name: StrikeName) -> Player:
    """Return a player who has learnt another driver strike, as usual for them and as wide as theirs is."""
    return replace(player, strikes=(usual_driver(player, name), *player.strikes))


# --- the hole -------------------------------------------------------------------------------------


def fairway_width(hole: Hole, tee: Tee, ground: GroundMap, reach: float) -> float:
    """Return how wide a hole's fairway is, square to its line `reach` [m] from the tee; 0 if none."""
    bearing = sights.line_bearing(hole, tee, reach)
    x, y = _on_line(hole, tee, reach)
    across = np.arange(-80.0, 80.25, 0.25)
    codes = ground.at(x + across * cos(bearing), y - across * sin(bearing))
    mown = codes == Ground.FAIRWAY
    if not mown.any():
        return 0.0
    edges = np.flatnonzero(np.diff(np.concatenate([[False], mown, [False]]).astype(int)))
    stretches = list(zip(edges[::2], edges[1::2], strict=True))
    first, last = min(stretches, key=lambda s: max(across[s[0]], -across[s[1] - 1], 0.0))
    return float(0.25 * (last - first))


def _on_line(hole: Hole, tee: Tee, reach: float) -> tuple[float, float]:
    points = shapely.get_coordinates(shapely.segmentize(hole.line, 1.0))
    away = [hypot(x - tee.x, y - tee.y) for x, y in points]
    x, y = points[max(i for i, far in enumerate(away) if far <= reach)]
    return float(x), float(y)


def with_fairway(course: Course, hole: Hole, change: float) -> Course:
    """Return a course on which a hole's fairways are wider by `change` [m], or narrower.

    Trees stay; what a fairway gives up is rough.
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
        if course.maps_rough:  # elsewhere it is rough by itself
            given_up = area.outline.difference(wide)
            areas += [Area(Ground.ROUGH, outline, area.label) for outline in _polygons(given_up)]
    return replace(course, areas=tuple(areas))


def _polygons(shape: BaseGeometry) -> list[Polygon]:
    parts = shapely.get_parts(shape)
    return [part for part in parts if isinstance(part, Polygon) and not part.is_empty]
