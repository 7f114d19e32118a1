"""Kinds of drawn features, and the tags that stand for each in a course file."""

from collections.abc import Mapping
from typing import Any, Final

from holesim.course.course import Ground
from holesim.course.course_file import ground_of

OTHER: Final = "other"
"""What is neither ground nor part of a hole."""

TAGS: Final[Mapping[str, Mapping[str, str]]] = {
    "line": {"golf": "hole"},
    "pin": {"golf": "pin"},
    "spot": {},
    "boundary": {"leisure": "golf_course"},
    "fairway": {"golf": "fairway"},
    "green": {"golf": "green"},
    "tee": {"golf": "tee"},
    "bunker": {"golf": "bunker"},
    "red": {"golf": "lateral_water_hazard", "natural": "water"},
    "yellow": {"golf": "water_hazard", "natural": "water"},
    "trees": {"natural": "wood"},
    "heavy_rough": {"natural": "scrub"},
    "rough": {"golf": "rough"},
    "out": {"golf": "out_of_bounds"},
}
"""The tags of an area, a line or a point of each kind."""

_STREAMS: Final[Mapping[str, Mapping[str, str]]] = {
    "red": {"waterway": "stream"},
    "yellow": {"golf": "water_hazard", "waterway": "stream"},
}


def tags_of(kind: str, geometry: Mapping[str, Any] | None) -> dict[str, str]:
    """Return the tags of a new feature; water along a line is a stream.

    Examples
    --------
    >>> tags_of("red", {"type": "LineString"}), tags_of("bunker", {"type": "Polygon"})
    ({'waterway': 'stream'}, {'golf': 'bunker'})
    """
    shape = "" if geometry is None else geometry.get("type", "")
    return dict((_STREAMS if shape.endswith("LineString") and kind in _STREAMS else TAGS)[kind])


def kind_of(tags: Mapping[str, str], geometry: Mapping[str, Any] | None) -> str:
    """Return the kind of a feature by its tags.

    Examples
    --------
    >>> kind_of({"natural": "wood"}, None), kind_of({"highway": "path"}, None)
    ('trees', 'other')
    """
    if tags.get("golf") == "hole":
        return "line"
    if tags.get("golf") == "pin":
        return "pin"
    if tags.get("leisure") == "golf_course":
        return "boundary"
    ground = ground_of(dict(tags))
    if ground is not None and ground is not Ground.OUT:
        return ground.name.lower()
    if ground is Ground.OUT:
        return "out"
    return "spot" if "ele" in tags and geometry is not None and geometry.get("type") == "Point" else OTHER
