"""Large files: read or refused in little time and memory."""

import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

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
