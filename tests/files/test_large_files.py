"""Large files: read or refused in little time and memory."""

import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from holesim.course.course_file import load_course
from holesim.errors import InputError
from tests.conftest import Run
from tests.files.command_outcomes import check_outcome
from tests.files.drawn_courses import area, at, ring
from tests.files.small_course import COURSE

STATUS = Path("/proc/self/status")
MEASURED = f"""
import sys
from holesim.app.cli.main import main
try:
    main()
finally:
    sys.stderr.write(next(line for line in open("{STATUS}") if line.startswith("VmHWM")))
"""


def many_features(size: int) -> bytes:
    """Return a course with some hundred thousand bunkers."""
    bunker = json.dumps(area("b", ring(40, 0, 50, 10), golf="bunker"))
    return with_features(f", {bunker}" * (size // len(bunker)))


def many_parts(kind: str, part: str, size: int) -> bytes:
    """Return a course with one bunker of some hundred thousand parts."""
    parts = f"{part}, " * (size // (len(part) + 2)) + part
    geometry = f'{{"type": "{kind}", "coordinates": [{parts}]}}'
    return with_features(f', {{"properties": {{"golf": "bunker"}}, "geometry": {geometry}}}')


def with_features(more: str) -> bytes:
    end = COURSE.rindex("]}")
    return f"{COURSE[:end]}{more}{COURSE[end:]}".encode()


LARGE: dict[str, Callable[[int], bytes]] = {
    "features": many_features,
    "rings": lambda size: many_parts("Polygon", str(ring(40, 0, 50, 10)), size),
    "points": lambda size: many_parts("MultiPoint", str(at(40, 0)), size),
    "empty lists": lambda size: b'{"type":"FeatureCollection","features":[' + b"[]," * (size // 3) + b"[]]}",
    "small tables": lambda size: b'{"features":[' + b'{"a":1},' * (size // 8) + b"{}]}",
    "one position": lambda size: COURSE.replace("[-127.3,", "[-127.3," + "1.5," * (size // 4), 1).encode(),
    "a long name": lambda size: COURSE.replace("Petrel", "P" * size).encode(),
}


# What becomes many objects is as large as may be.
LARGEST = dict.fromkeys(LARGE, 24) | dict.fromkeys(("rings", "one position", "a long name"), 8)


@pytest.mark.skipif(not STATUS.exists(), reason="only Linux says how much memory a process had at most")
@pytest.mark.parametrize(("kind", "megabytes"), [*LARGEST.items(), ("features", 50)])
def test_a_large_file_takes_neither_all_memory_nor_all_day(tmp_path: Path, kind: str, megabytes: int) -> None:
    course = tmp_path / "links.geojson"
    course.write_bytes(LARGE[kind](megabytes * 1_000_000))
    command = [sys.executable, "-c", MEASURED, "check", str(course)]
    # About three seconds on a slow core; ten would be a hang, but for a machine with much else to do.
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=60)  # noqa: S603
    *err, most = done.stderr.splitlines()
    check_outcome(done.returncode, done.stdout, "\n".join(err))
    assert int(most.split()[1]) < 1e6  # kB
    if megabytes == 50:
        assert err == ["holesim: links.geojson: is larger than 25 MB; leave out what is not needed"]


def comb(teeth: int, length: float) -> bytes:
    """Return a course with a wood like a comb, of so many teeth so long [m], 200 m wide."""
    west, east = at(30, 30)[0], at(230, 30)[0]
    south, top = at(30, 30)[1], at(30, 30 + length)[1]
    edges = np.linspace(west, east, 2 * teeth)
    x, y = np.repeat(edges, 2), np.tile([south, top, top, south], teeth)
    ends = [[east, at(30, 0)[1]], [west, at(30, 0)[1]], [west, south]]
    wood = area("w", [*np.column_stack([x, y]).tolist(), *ends], natural="wood")
    return with_features(f", {json.dumps(wood)}")


@pytest.mark.parametrize(
    ("teeth", "length", "said"),
    [
        (40_000, 1.0, "has 160,003 positions, and all outlines 160,"),
        (1_000, 300.0, "has 600,460 m, and all outlines 60"),
    ],
)
def test_outlines_of_many_positions_or_many_miles_are_refused(
    tmp_path: Path, teeth: int, length: float, said: str
) -> None:
    course = tmp_path / "links.geojson"
    course.write_bytes(comb(teeth, length))
    with pytest.raises(InputError) as caught:
        load_course(course)
    assert str(caught.value).startswith(f"links.geojson: natural=wood w: {said}")
    assert str(caught.value).endswith(
        "more than a course has; simplify its outline, or export the course alone"
    )
    course.write_bytes(comb(teeth // 2, length))
    assert len(load_course(course).holes) == 2


@pytest.mark.skipif(not STATUS.exists(), reason="only Linux says how much memory a process had at most")
def test_keys_of_many_parts_take_not_all_memory(tmp_path: Path) -> None:
    player = tmp_path / "player.toml"
    player.write_text("\n".join(f"a{n}{'.a' * 490}=1" for n in range(190)))
    command = [sys.executable, "-c", MEASURED, "check", str(player)]
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=60)  # noqa: S603
    err, most = done.stderr.splitlines()
    assert err == "holesim: player.toml: a0: is not a key of a player file; take it out"
    assert int(most.split()[1]) < 1e6  # kB


def test_a_file_that_never_ends_is_refused(run: Run) -> None:
    for words in (("check", "/dev/zero"), ("shot", "/dev/zero")):
        code, out, err = run(*words)
        assert (code, out) == (2, "")
        assert err.startswith("holesim: zero: is larger than ")
