"""Kinds of drawn features, and the tags that stand for each in a course file."""

from collections.abc import Mapping
from typing import Any, Final

from holesim.course import ground_words
from holesim.course.golf_tags import ground_of, in_plain_tags

OTHER: Final = "other"
"""What is neither ground nor part of a hole."""

TAGS: Final[Mapping[str, Mapping[str, str]]] = {
    "line": {"golf": "hole"},
    "pin": {"golf": "pin"},
    "spot": {},
    "boundary": {"leisure": "golf_course"},
    **{ground.name.lower(): tags for ground, tags in ground_words.TAGS.items()},
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
    >>> kind_of({"golf": "pond"}, None), kind_of({"highway": "path"}, None)
    ('red', 'other')
    """
    if tags.get("golf") == "hole":
        return "line"
    if tags.get("golf") == "pin":
        return "pin"
    if tags.get("leisure") == "golf_course":
        return "boundary"
    ground = ground_of(in_plain_tags(dict(tags))[0])
    if ground is not None:
        return ground.name.lower()
    return "spot" if "ele" in tags and geometry is not None and geometry.get("type") == "Point" else OTHER
