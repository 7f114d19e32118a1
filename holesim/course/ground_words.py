"""The words that golfers use for ground, sides and stakes, and what they mean."""

import re
from dataclasses import dataclass, replace
from typing import Final, Literal

from holesim.course.course import NAMES, Ground
from holesim.errors import InputError, rather

Form = Literal["strip", "stream", "bunker", "mown"]
"""How ground lies: along or across a hole, as a narrow water that crosses it, as sand, or mown."""
Side = Literal["left", "right"]


@dataclass(frozen=True)
class Meaning:
    """What a word means: the ground, its form, and the side of the hole if the word says it.

    `judged` says what it is taken for where golfers may mean something else too.
    """

    ground: Ground
    form: Form
    side: Side | None = None
    judged: str = ""

    @property
    def text(self) -> str:
        """What the word is taken for."""
        name = NAMES[self.ground]
        return f"a stream, {name}" if self.form == "stream" else name


# A waste area is no penalty area: a ball in it is played as it lies, off sand, and runs as little as in a
# bunker. Where it is overgrown, heavy rough is nearer (our assumption).
_WASTE: Final = Meaning(Ground.BUNKER, "bunker", judged="sand to play from without penalty, as in a bunker")
_WORDS: Final = {
    Meaning(Ground.RED, "stream"): "creek, stream, ditch, brook, burn, beck, rill, canal, drain",
    Meaning(Ground.RED, "strip"): (
        "water, pond, lake, lagoon, loch, reservoir, river, sea, ocean, marsh, swamp, wetland,"
        " penalty area, red penalty area, red stakes, red water, hazard, lateral, lateral hazard,"
        " lateral water, lateral water hazard"
    ),
    Meaning(Ground.YELLOW, "strip"): "yellow penalty area, yellow stakes, water hazard, yellow water",
    Meaning(Ground.BUNKER, "bunker"): "bunker, sand, trap, sand trap, pot bunker, fairway bunker",
    _WASTE: "waste, waste area, waste bunker, sandy waste, sandy waste area",
    Meaning(Ground.OUT, "strip"): "out of bounds, OB, OOB, white stakes",
    Meaning(Ground.TREES, "strip"): "trees, woods, woodland, forest, tree line, pines, copse",
    Meaning(Ground.HEAVY_ROUGH, "strip"): (
        "scrub, heath, heather, gorse, bush, brush, bracken, fescue, heavy rough, deep rough, thick rough,"
        " long rough, long grass, native area"
    ),
    Meaning(Ground.ROUGH, "strip"): "rough, semi rough, light rough, first cut, mown rough",
    Meaning(Ground.FAIRWAY, "mown"): "fairway",
    Meaning(Ground.GREEN, "mown"): "green, putting green",
    Meaning(Ground.TEE, "mown"): "tee, tee box, teeing area, teeing ground",
}
_SIDES: Final = {
    "left": "left", "lh": "left", "l": "left", "right": "right", "rh": "right", "r": "right",
    "across": "across", "crossing": "across", "middle": "across", "centre": "across", "center": "across",
    "front": "front", "short": "front", "back": "back", "long": "back", "behind": "back",
}  # fmt: skip
_FILLING: Final = frozenset({"hand", "side", "on", "of", "the", "handed"})

TAGS: Final = {
    Ground.OUT: {"golf": "out_of_bounds"},
    Ground.RED: {"golf": "lateral_water_hazard", "natural": "water"},
    Ground.YELLOW: {"golf": "water_hazard", "natural": "water"},
    Ground.BUNKER: {"golf": "bunker"},
    Ground.GREEN: {"golf": "green"},
    Ground.TEE: {"golf": "tee"},
    Ground.FAIRWAY: {"golf": "fairway"},
    Ground.TREES: {"natural": "wood"},
    Ground.HEAVY_ROUGH: {"natural": "scrub"},
    Ground.ROUGH: {"golf": "rough"},
}
"""OpenStreetMap's tags for an area of each ground."""


def _parts(word: str) -> list[str]:
    """Return the parts of a word in lower case and the singular."""
    parts = re.split(r"[\W_]+", word.lower().replace(".", ""))
    return [_singular(part) for part in parts if part]


def _singular(part: str) -> str:
    if part.endswith(("ches", "shes")):
        return part.removesuffix("es")
    return part.removesuffix("s") if len(part) > 3 and not part.endswith(("ss", "us")) else part


_MEANINGS: Final = {
    "".join(_parts(word)): meaning for meaning, words in _WORDS.items() for word in words.split(",")
}
_KNOWN: Final = [word.strip() for words in _WORDS.values() for word in words.split(",")]


def find_meaning(word: str) -> Meaning | None:
    """Return what a word for ground means, None if it is not known.

    Case, hyphens, spaces and plurals do not matter, and the word may have a side.

    Examples
    --------
    >>> find_meaning("Ditches") == find_meaning("creek") == Meaning(Ground.RED, "stream")
    True
    >>> find_meaning("left rough").side, find_meaning("O.B.").text, find_meaning("bridge")
    ('left', 'out of bounds', None)
    """
    parts = _parts(word)
    if whole := _MEANINGS.get("".join(parts)):
        return whole
    sides = {_SIDES.get(part) for part in parts} & {"left", "right"}
    rest = [part for part in parts if _SIDES.get(part) not in sides and part not in _FILLING]
    found = _MEANINGS.get("".join(rest))
    if found is None or len(sides) != 1:
        return None
    return replace(found, side="left" if "left" in sides else "right")


def meaning(word: str) -> Meaning:
    """Return what a word for ground means.

    Raises
    ------
    InputError
        If it is not known; the nearest known word is named.

    Examples
    --------
    >>> meaning("pond").text
    'red penalty area'
    >>> meaning("creeck")
    Traceback (most recent call last):
        ...
    holesim.errors.InputError: creeck: is no word for ground that is known; did you mean creek?
    """
    found = find_meaning(word)
    if found is None:
        remedy = rather(word.lower(), _KNOWN, "say bunker, creek, pond, trees, rough or out of bounds")
        raise InputError("", f"{word:.40}", "is no word for ground that is known", remedy)
    return found


def find_side(word: str) -> str | None:
    """Return left, right, across, front or back for a word that golfers use for it, None if it is not known.

    Examples
    --------
    >>> find_side("LH"), find_side("right-hand side"), find_side("centre"), find_side("up")
    ('left', 'right', 'across', None)
    """
    sides = [_SIDES.get(part) for part in _parts(word) if part not in _FILLING]
    return sides[0] if len(sides) == 1 else None


def find_stakes(word: str) -> str | None:
    """Return red or yellow for a word that golfers use for the stakes of a penalty area, None if not known.

    Examples
    --------
    >>> find_stakes("Yellow stakes"), find_stakes("lateral"), find_stakes("blue")
    ('yellow', 'red', None)
    """
    parts = {"red": "red", "lateral": "red", "yellow": "yellow"}
    found = {parts[part] for part in _parts(word) if part in parts}
    return found.pop() if len(found) == 1 else None


def plain_tags(key: str, value: str) -> tuple[dict[str, str], str] | None:
    """Return OpenStreetMap's tags for a golfer's word under its golf or natural key; None if it is not known.

    Beside them stands what the word was taken for.

    Examples
    --------
    >>> plain_tags("golf", "creek")
    ({'waterway': 'stream'}, 'a stream, red penalty area')
    """
    found = find_meaning(value)
    if found is None or (key == "natural" and found.form == "mown"):
        return None
    return ({"waterway": "stream"} if found.form == "stream" else TAGS[found.ground]), found.text
