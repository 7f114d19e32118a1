"""What the tags of a course file mean: OpenStreetMap's golf keys, and golfers' words in their place."""

from typing import Final

from holesim.course.course import Ground
from holesim.course.ground_words import plain_tags

GOLF: Final = {
    "bunker": Ground.BUNKER,
    "fairway": Ground.FAIRWAY,
    "green": Ground.GREEN,
    "lateral_water_hazard": Ground.RED,
    "out_of_bounds": Ground.OUT,
    "rough": Ground.ROUGH,
    "tee": Ground.TEE,
    "water_hazard": Ground.YELLOW,
}
"""The ground that each value of OpenStreetMap's golf key stands for."""

NATURAL: Final = {
    "heath": Ground.HEAVY_ROUGH,
    "scrub": Ground.HEAVY_ROUGH,
    "tree_row": Ground.TREES,
    "water": Ground.RED,
    "wood": Ground.TREES,
}
"""The ground that each value of its natural key stands for."""

# Values that OpenStreetMap documents for the golf key but that are no ground of their own.
NO_AREA: Final = frozenset({"hole", "pin", "driving_range"})
OTHER_GOLF: Final = NO_AREA | {"cartpath", "clubhouse", "path", "cart_sign", "rough_area"}

# Values of its natural key that are words of golfers too, but that say nothing of a course.
OTHER_NATURAL: Final = frozenset({"tree", "sand", "wetland", "shrub", "bush"})


def ground_of(tags: dict[str, str]) -> Ground | None:
    """Return the ground that a feature's tags stand for."""
    if "golf" in tags:
        return GOLF.get(tags["golf"])
    if "natural" in tags:
        return NATURAL.get(tags["natural"])
    return Ground.RED if "waterway" in tags else None


def in_plain_tags(tags: dict[str, str]) -> tuple[dict[str, str], str, str]:
    """Return tags in which a golfer's word stands as OpenStreetMap has it, the word's key, and what it means.

    Examples
    --------
    >>> in_plain_tags({"golf": "pond", "name": "Mere"})[1:]
    ('golf', 'red penalty area')
    """
    for key, known in (("golf", GOLF.keys() | OTHER_GOLF), ("natural", NATURAL.keys() | OTHER_NATURAL)):
        value = tags.get(key, "")
        plain = None if not value or value in known else plain_tags(key, value)
        if plain is None:
            continue
        meant, taken = plain
        return {k: v for k, v in tags.items() if k != key} | meant, key, taken
    return tags, "", ""
