"""The name of what follows from records."""

import subprocess
import sys
from dataclasses import dataclass, field, replace

import numpy as np
import pytest
import shapely

from holesim.common.record_digest import record_digest
from holesim.course.course import Ground
from holesim.plan.round_options import RoundOptions


@dataclass(frozen=True)
class _Record:
    shape: shapely.Polygon
    one: float | int | str | None
    names: frozenset[str] = frozenset()
    numbers: dict[str, float] = field(default_factory=dict)


BOX = shapely.box(0, 0, 1, 2)
RECORD = _Record(BOX, 1.0, frozenset("abc"), {"face": 0.1})


@pytest.mark.parametrize(
    "other",
    [
        replace(RECORD, shape=shapely.box(0, 0, 1, 2.0000001)),
        replace(RECORD, one=1),
        replace(RECORD, one="1.0"),
        replace(RECORD, one=None),
        replace(RECORD, one=np.nextafter(1.0, 2.0)),
        replace(RECORD, names=frozenset("ab")),
        replace(RECORD, numbers={"face": 0.2}),
        replace(RECORD, numbers={"path": 0.1}),
    ],
)
def test_whatever_a_record_holds_changes_its_digest(other: _Record) -> None:
    assert record_digest(other) != record_digest(RECORD)
    assert record_digest(replace(other)) == record_digest(other)


def test_what_stands_in_which_record_counts() -> None:
    values = [("ab", "c"), ("a", "bc"), (("ab",), "c"), ("ab", ("c",)), ("abc",), ["abc", 1], ["abc", 1.0]]
    arrays = [np.zeros(2), np.zeros((2, 1)), np.zeros(2, dtype=np.float32)]
    grounds, options = list(Ground), [RoundOptions(), RoundOptions(seed=2)]
    found = [record_digest(*one) for one in values]
    found += [record_digest(one) for one in (*arrays, *grounds, *options)]
    assert len(set(found)) == len(found)
    with pytest.raises(TypeError, match="no digest of object"):
        record_digest(object())


def test_another_process_finds_the_same_digest() -> None:
    """Python orders a set of strings otherwise in each process."""
    asked = "from holesim.common.record_digest import record_digest as d; print(d(frozenset('abcdefgh')))"
    found = {
        subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True).stdout  # noqa: S603 - our own words
        for _ in range(3)
    }
    assert found == {record_digest(frozenset("abcdefgh")) + "\n"}
