"""The text of a course file, feature by feature, so that what nobody changes keeps every byte."""

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

_SPACE: Final = " \t\n\r"
_DECODER: Final = json.JSONDecoder()


@dataclass(frozen=True)
class CollectionText:
    """The text of a GeoJSON FeatureCollection: before its features, each of them, and after.

    Each feature has the spaces before and after it; commas stand between features.
    """

    head: str
    features: tuple[str, ...]
    tail: str

    def joined(self) -> str:
        """Return the whole text."""
        return self.head + ",".join(self.features) + self.tail


def split_collection(text: str) -> CollectionText:
    r"""Return the text of a FeatureCollection in parts; `text` must be one, as `read_features` makes sure.

    Examples
    --------
    >>> parts = split_collection('{"features": [{"id": 1}, {"id": 2}\n]}')
    >>> parts.features, parts.joined()
    (('{"id": 1}', ' {"id": 2}'), '{"features": [{"id": 1}, {"id": 2}\n]}')
    """
    start, _ = _spans(text, _after_space(text, 1 if text.startswith("\ufeff") else 0))["features"]
    inside = start + 1
    features = []
    at = _after_space(text, inside)
    while text[at] != "]":
        _, stop = _DECODER.raw_decode(text, at)
        after = _after_space(text, stop)
        if text[after] == ",":
            features.append(text[inside:after])
            inside, at = after + 1, _after_space(text, after + 1)
        else:
            features.append(text[inside:stop])
            inside = at = stop
            break
    return CollectionText(
        text[: start + 1], tuple(features), text[inside:] if features else text[start + 1 :]
    )


def _after_space(text: str, at: int) -> int:
    while text[at] in _SPACE:
        at += 1
    return at


def _spans(text: str, start: int) -> dict[str, tuple[int, int]]:
    """Return where the value of each key of an object begins and ends; of a key given twice, the last."""
    return dict(_members(text, start))


def _members(text: str, start: int) -> Iterator[tuple[str, tuple[int, int]]]:
    at = _after_space(text, start + 1)
    while text[at] != "}":
        key, at = _DECODER.raw_decode(text, at)
        value = _after_space(text, _after_space(text, at) + 1)
        _, end = _DECODER.raw_decode(text, value)
        yield key, (value, end)
        at = _after_space(text, end)
        if text[at] == ",":
            at = _after_space(text, at + 1)


def with_members(feature: str, members: Mapping[str, Any]) -> str:
    """Return the text of a feature with other values for some of its members.

    Examples
    --------
    >>> with_members('{ "id": 7, "geometry": null }', {"geometry": {"type": "Point", "coordinates": [1, 2]}})
    '{ "id": 7, "geometry": {"type":"Point","coordinates":[1,2]} }'
    """
    for key, value in members.items():
        written = json.dumps(value, separators=(",", ":"), ensure_ascii=False)
        start = _after_space(feature, 0)
        spans = _spans(feature, start)
        if key in spans:
            begin, end = spans[key]
            feature = feature[:begin] + written + feature[end:]
        else:
            comma = "," if spans else ""
            feature = f'{feature[: start + 1]}"{key}":{written}{comma}{feature[start + 1 :]}'
    return feature


def splice(before: str, after: str) -> tuple[int, str, str]:
    """Return how one text becomes another: where, what is taken out there, and what is put in.

    Examples
    --------
    >>> splice("at 287 yd", "at 293 yd")
    (4, '87', '93')
    """
    short = min(len(before), len(after))
    start = _common(before, after, short)
    end = _common(before[::-1], after[::-1], short - start)
    return start, before[start : len(before) - end], after[start : len(after) - end]


def _common(one: Sequence[str], other: Sequence[str], most: int) -> int:
    """Return how many letters two texts share at their beginning, by halving."""
    low, high = 0, most
    while low < high:
        middle = (low + high + 1) // 2
        if one[low:middle] == other[low:middle]:
            low = middle
        else:
            high = middle - 1
    return low
