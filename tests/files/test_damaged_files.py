"""Damaged files, killed commands and hostile names: an answer or one line, and nothing half-written.

Every damage follows from its number, so that one that fails can be looked at again.
"""

import copy
import json
import os
import random
import re
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterable
from contextlib import nullcontext
from pathlib import Path
from typing import Any

import pytest

from holesim.app.plan_folder import write_plan
from holesim.common.safe_files import renamed_into
from holesim.course.course_file import load_course
from holesim.course.ground_map import map_ground
from holesim.errors import InputError
from holesim.plan.plan import make_plan
from holesim.plan.round_options import RoundOptions
from holesim.player.player import Player
from holesim.reports.check_text import course_text, player_text
from holesim.shot.club_speeds import load_player
from tests.conftest import DEMO, Run
from tests.files.drawn_courses import Json, add, area, at, feature, moved_by, ring, sound

Values = list[tuple[Any, Any]]  # where a value stands: in what, under what key or number


def small() -> Json:
    """Return two holes with a bit of everything that is read."""
    course = sound()
    add(
        *moved_by(sound(), 300, 0, ref="2", par="5"),
        feature("t9", "Point", at(3, 20), golf="tee", colour="white;yellow", ele="31"),
        feature("e1", "Point", at(0, 200), ele="28.5"),
        feature("p1", "Point", at(120, 380), golf="pin"),
        feature("s1", "LineString", [at(60, 0), at(60, 90)], waterway="stream", width="2"),
        feature("m1", "MultiPolygon", [[ring(40, 0, 50, 10), ring(42, 2, 44, 4)]], natural="water"),
        feature("r1", "MultiLineString", [[at(70, 0), at(70, 90)]], natural="tree_row", height="40 ft"),
        feature("n1", "LineString", ring(80, 0, 90, 10), golf="bunker", name="L\u00f8vens grav"),
        area("c1", ring(-90, -90, 550, 470), leisure="golf_course", name="Petrel Ground", firmness="firm"),
    )(course)
    return course


COURSE = json.dumps(small(), ensure_ascii=False)
PLAYER = Path(DEMO[1]).read_text(encoding="utf-8").replace("Corin", "C\u00f8rin")

ODD: tuple[Any, ...] = (
    None, True, False, 0, -1, 4, 90.5, -181, 1e308, -1e-308, float("nan"), float("inf"), 10**400, "", " ",
    "1", "NaN", "four", "\n", "\0", "\x1b[2J", "\ud800", "\u202e", "<script>alert(1)</script>", "9" * 5000,
    "hole", "tee", "fareway", "Point", "Polygon", "GeometryCollection", [], {}, [[]], [0, 0], [None],
    [[0, 0]], [[[0, 0]]], {"type": "Point", "coordinates": [0, 0]}, {"golf": "hole"},
)  # fmt: skip
NUMBERS = (
    "NaN", "Infinity", "-Infinity", "nan", "inf", "-inf", "1e999", "1e-999", "-0", "9" * 5000, "0x1F",
    "1_000", "+5", "007", '"12"', "'12'", "null", "true", "[1]", "{}", "1.", ".5", "1e400", "1979-05-27",
)  # fmt: skip
WORDS = (
    "", " ", "\u00e9", "a" * 300, "\U0001f3cc", "\u202eabc", "e\u0301" * 40, "<b>", "../..", "$^_{}", "type",
)  # fmt: skip
ENCODINGS = ("utf-16", "utf-16-le", "utf-32", "latin-1", "utf-8-sig", "cp500", "utf-7")


# --- ways to damage a text ------------------------------------------------------------------------


def cut_short(rng: random.Random, text: str) -> bytes:
    return text.encode()[: rng.randrange(len(text))]


def bytes_flipped(rng: random.Random, text: str) -> bytes:
    raw = bytearray(text.encode())
    for _ in range(rng.choice([1, 2, 20])):
        raw[rng.randrange(len(raw))] ^= 1 << rng.randrange(8)
    return bytes(raw)


def bytes_put_in(rng: random.Random, text: str) -> bytes:
    raw, at_ = text.encode(), rng.randrange(len(text))
    junk = rng.choice([b"\0", b"\xff", b"\xed\xa0\x80", b"[" * 2000, b"{" * 2000, b'"', b"]", b"\r", b"\x1b"])
    return raw[:at_] + junk + raw[at_:]


def stretch_taken_out(rng: random.Random, text: str) -> bytes:
    start = rng.randrange(len(text))
    return (text[:start] + text[start + rng.randrange(1, 200) :]).encode()


def stretch_twice(rng: random.Random, text: str) -> bytes:
    start = rng.randrange(len(text))
    end = start + rng.randrange(1, 200)
    return (text[:end] + text[start:]).encode()


def other_encoding(rng: random.Random, text: str) -> bytes:
    return text.encode(rng.choice(ENCODINGS))


def number_replaced(rng: random.Random, text: str) -> bytes:
    spot = rng.choice([*re.finditer(r"-?\d+(\.\d+)?", text)])
    return (text[: spot.start()] + rng.choice(NUMBERS) + text[spot.end() :]).encode()


def word_replaced(rng: random.Random, text: str) -> bytes:
    spot = rng.choice([*re.finditer(r"\w+", text)])
    return (text[: spot.start()] + rng.choice(WORDS) + text[spot.end() :]).encode()


def lines_shuffled(rng: random.Random, text: str) -> bytes:
    lines = re.split(r"(?<=[\n,])", text)
    first = rng.randrange(len(lines))
    part = lines[first : first + rng.randrange(2, 12)]
    rng.shuffle(part)
    lines[first : first + len(part)] = part
    return "".join(lines).encode()


TO_TEXT = (
    cut_short, bytes_flipped, bytes_put_in, stretch_taken_out, stretch_twice, other_encoding, number_replaced,
    word_replaced, lines_shuffled,
)  # fmt: skip


# --- ways to damage a course ----------------------------------------------------------------------


def places(value: object) -> Values:
    """Return where each value within a value stands."""
    steps: Iterable[tuple[Any, Any]] = (
        value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    )
    return [found for step, inner in steps for found in ((value, step), *places(inner))]


def value_replaced(rng: random.Random, course: Json) -> None:
    for _ in range(rng.choice([1, 1, 2, 5])):
        inside, step = rng.choice(places(course))
        inside[step] = copy.deepcopy(rng.choice(ODD))


def tag_replaced(rng: random.Random, course: Json) -> None:
    tags = rng.choice(course["features"])["properties"]
    tags[rng.choice([*tags, "ref", "par", "handicap", "width", "name", "tee", "tags"])] = rng.choice(ODD)


def member_renamed(rng: random.Random, course: Json) -> None:
    inside, step = rng.choice([place for place in places(course) if isinstance(place[1], str)])
    inside[rng.choice([f"{step}s", step.upper(), step[:-1], step[::-1], ""])] = inside.pop(step)


def member_taken_out(rng: random.Random, course: Json) -> None:
    inside, step = rng.choice(places(course))
    del inside[step]


def features_taken_out(rng: random.Random, course: Json) -> None:
    course["features"] = rng.sample(course["features"], rng.randrange(len(course["features"]) + 1))


def features_doubled(rng: random.Random, course: Json) -> None:
    course["features"] += copy.deepcopy(rng.sample(course["features"], rng.randrange(1, 6)))
    if rng.random() < 0.5:
        rng.shuffle(course["features"])


def positions_of(course: Json) -> Values:
    return [
        (inside, step)
        for inside, step in places(course)
        if isinstance(inside[step], list) and inside[step] and isinstance(inside[step][0], float)
    ]


def coordinates_swapped(rng: random.Random, course: Json) -> None:
    spots = positions_of(course)
    for inside, step in spots if rng.random() < 0.5 else rng.sample(spots, 3):
        inside[step].reverse()


def coordinates_moved(rng: random.Random, course: Json) -> None:
    for inside, step in rng.sample(positions_of(course), rng.choice([1, 3, 30])):
        by = rng.choice([1e-6, 1e-4, 1e-3, 0.1, 60.0])
        inside[step] = [value + rng.uniform(-by, by) for value in inside[step]]


def coordinates_scaled(rng: random.Random, course: Json) -> None:
    by = rng.choice([1e5, 1e-5, 1.0000001, 0.0, -1.0, 1e300])
    for inside, step in positions_of(course):
        inside[step] = [value * by for value in inside[step]]


def positions_as_text(rng: random.Random, course: Json) -> None:
    for inside, step in rng.sample(positions_of(course), 2):
        inside[step] = rng.choice(
            [[str(v) for v in inside[step]], ",".join(map(str, inside[step])), inside[step][:1]]
        )


def lines_of(course: Json) -> list[list[Any]]:
    """Return the lists of positions in a course."""
    return [inside for inside, step in positions_of(course) if step == 1 and isinstance(inside, list)]


def line_cut(rng: random.Random, course: Json) -> None:
    line = rng.choice(lines_of(course))
    del line[rng.randrange(len(line)) :]


def line_scrambled(rng: random.Random, course: Json) -> None:
    rng.shuffle(rng.choice(lines_of(course)))


def nested_deep(rng: random.Random, course: Json) -> None:
    deep: object = 1
    wrapped: list[Callable[[object], object]] = [
        lambda inner: [inner],
        lambda inner: {"tags": inner},
        lambda inner: {"type": "GeometryCollection", "geometries": [inner]},
    ]
    wrap = rng.choice(wrapped)
    for _ in range(rng.choice([3, 50, 400])):
        deep = wrap(deep)
    inside, step = rng.choice(places(course))
    inside[step] = deep


def ids_doubled(rng: random.Random, course: Json) -> None:
    for one in course["features"]:
        one["id"] = rng.choice(["way/1", 1, None, [], -0.0])


def geometry_swapped(rng: random.Random, course: Json) -> None:
    one, other = rng.sample(course["features"], 2)
    one["geometry"], other["geometry"] = other["geometry"], one["geometry"]


def kind_changed(rng: random.Random, course: Json) -> None:
    kinds = [
        "Point",
        "LineString",
        "Polygon",
        "MultiPoint",
        "MultiLineString",
        "MultiPolygon",
        "GeometryCollection",
    ]
    rng.choice(course["features"])["geometry"]["type"] = rng.choice([*kinds, "Feature", "", None])


TO_COURSE = (
    value_replaced, tag_replaced, member_renamed, member_taken_out, features_taken_out, features_doubled,
    coordinates_swapped, coordinates_moved, coordinates_scaled, positions_as_text, line_cut, line_scrambled,
    nested_deep, ids_doubled, geometry_swapped, kind_changed,
)  # fmt: skip


def damaged_course(seed: int) -> bytes:
    """Return the small course, damaged once in one way or, now and then, twice."""
    rng = random.Random(seed)  # noqa: S311
    if seed % 3 == 0:
        return rng.choice(TO_TEXT)(rng, COURSE)
    course = small_again()
    rng.choice(TO_COURSE)(rng, course)
    text = json.dumps(course, ensure_ascii=rng.random() < 0.5)
    if seed % 3 == 1:
        return text.encode("utf-8", "surrogatepass")
    twice = text.encode("utf-8", "replace").decode()
    # A key that comes twice: the later counts.
    return twice.replace('"golf": ', f'"golf": "{rng.choice(["tee", "hole", ""])}", "golf": ', 1).encode()


def small_again() -> Json:
    course: Json = json.loads(COURSE)
    return course


def damaged_player(seed: int) -> bytes:
    rng = random.Random(seed)  # noqa: S311
    return rng.choice(TO_TEXT)(rng, PLAYER)


# --- what comes of them ---------------------------------------------------------------------------


def read_course(path: Path) -> str:
    return course_text(load_course(path))


def mapped_course(path: Path) -> str:
    map_ground(load_course(path))
    return read_course(path)


def check_line(text: str) -> None:
    """Check that an error or a guess is one line that any terminal prints."""
    assert text.isprintable()
    assert len(text) <= 500
    assert ": " in text
    assert "; " in text


def outcome(seed: int, path: Path, raw: bytes, read: Callable[[Path], str]) -> bool:
    """Return whether a file was read; an error is one line with a remedy."""
    path.write_bytes(raw)
    try:
        text = read(path)
    except InputError as error:
        assert str(error).startswith(f"{path.name}: ")  # noqa: PT017
        check_line(str(error))
        return False
    except Exception as bug:
        bug.add_note(f"damage {seed}")
        raise
    assert all(line.isprintable() for line in text.splitlines())
    return True


@pytest.mark.parametrize("first", range(0, 4000, 500))
def test_damaged_courses_are_read_or_refused(tmp_path: Path, first: int) -> None:
    path, answers = tmp_path / "links.geojson", 0
    for seed in range(first, first + 500):
        read = mapped_course if seed % 20 == 1 else read_course
        answers += outcome(seed, path, damaged_course(seed), read)
    assert 50 < answers < 450  # the damage is neither too small to matter nor always the same


@pytest.mark.parametrize("first", range(0, 1000, 500))
def test_damaged_players_are_read_or_refused(tmp_path: Path, first: int) -> None:
    path, answers = tmp_path / "player.toml", 0
    for seed in range(first, first + 500):
        answers += outcome(seed, path, damaged_player(seed), lambda file: player_text(load_player(file)))
    assert 50 < answers < 450


def one_line_or_an_answer(code: int, out: str, err: str) -> None:
    assert code in (0, 1, 2), (code, err)
    assert "Traceback" not in err
    if code == 2:
        assert out == ""
        last = err.splitlines()[-1]
        assert last.startswith("holesim: ")
        check_line(last.removeprefix("holesim: "))
        # What was guessed, before it was refused, and how far the work had come, are lines of their own.
        assert all(line.startswith(("holesim: guessed: ", "planning: ")) for line in err.splitlines()[:-1])


@pytest.mark.parametrize("command", ["check", "plan"])
def test_the_command_on_damaged_files(run: Run, tmp_path: Path, command: str) -> None:
    course, player, out = tmp_path / "links.geojson", tmp_path / "player.toml", tmp_path / "out"
    for seed in range(0, 4000, 50) if command == "check" else range(50, 4000, 200):
        course.write_bytes(damaged_course(seed))
        player.write_bytes(damaged_player(seed) if seed % 150 == 0 else PLAYER.encode())
        words = [
            str(course),
            str(player),
            *(["--draws", "256", "--out", str(out)] if command == "plan" else []),
        ]
        code, said, err = run(command, *words)
        if command == "check" and code == 2:
            said = ""  # the course may be reported before the player is refused
        one_line_or_an_answer(code, said, err)
        assert out.exists() is (command == "plan" and code == 0)
        if out.exists():
            assert whole_files_only(out)
            for path in out.iterdir():
                path.unlink()
            out.rmdir()


def command_line(*words: str) -> list[str]:
    return [sys.executable, "-m", "holesim", *words]


@pytest.mark.parametrize("seed", [0, 1, 2, 3, 6])
def test_the_command_in_a_process_of_its_own(tmp_path: Path, seed: int) -> None:
    course = tmp_path / "links.geojson"
    course.write_bytes(damaged_course(seed))
    done = subprocess.run(command_line("check", str(course)), capture_output=True, text=True, check=False)  # noqa: S603
    one_line_or_an_answer(done.returncode, done.stdout, done.stderr)


# --- large files ----------------------------------------------------------------------------------

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
    one_line_or_an_answer(done.returncode, done.stdout, "\n".join(err))
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


# --- killed while writing -------------------------------------------------------------------------


def is_whole(path: Path) -> bool:
    raw = path.read_bytes()
    if path.suffix in (".json", ".geojson"):
        return any(json.loads(raw).get(key) for key in ("tees", "features"))
    if path.suffix == ".csv":
        return raw.endswith(b"\n")
    return raw.endswith(b"%%EOF\n") if path.suffix == ".pdf" else raw.endswith(b"IEND\xaeB`\x82")


def whole_files_only(folder: Path) -> bool:
    """Return whether a folder holds only whole files of ours and, if any, hidden folders."""
    shown = [path for path in folder.iterdir() if not path.name.startswith(".")]
    known = re.compile(r"plan\.(json|csv)|finishes\.geojson|card\.pdf|(hole|next)-\d\d-[a-z0-9-]+\.png")
    return all(known.fullmatch(path.name) and is_whole(path) for path in shown)


@pytest.mark.parametrize("how", [signal.SIGTERM, signal.SIGINT, signal.SIGKILL], ids=lambda how: how.name)
def test_a_command_killed_leaves_nothing_half_written(tmp_path: Path, how: signal.Signals) -> None:
    out = tmp_path / "out"
    words = ("plan", *DEMO, *(word for hole in "123456" for word in ("--hole", hole)))
    command = command_line(*words, "--draws", "256", "--out", str(out))
    with subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE) as process:  # noqa: S603
        while process.poll() is None and not any(out.glob(".*")):
            time.sleep(0.01)
        time.sleep(random.uniform(0, 0.5))  # noqa: S311 - the pictures take longer
        process.send_signal(how)
        _, err = process.communicate(timeout=60)
    assert process.returncode == (-how if how is signal.SIGKILL else 128 + how)
    assert b"Traceback" not in err
    assert whole_files_only(out)
    assert any(out.glob(".*")) is (how is signal.SIGKILL)


@pytest.mark.parametrize("how", [signal.SIGTERM, signal.SIGINT], ids=lambda how: how.name)
@pytest.mark.parametrize("swallowed", [True, False])
def test_a_stop_is_not_lost_where_compiled_code_loses_it(
    run: Run, monkeypatch: pytest.MonkeyPatch, how: signal.Signals, *, swallowed: bool
) -> None:
    player = load_player(DEMO[1])

    def compiled(_: object) -> Player:
        try:
            signal.raise_signal(how)
        except SystemExit:
            if not swallowed:
                raise ValueError("invalid bounding box") from None
        return player

    monkeypatch.setattr("holesim.shot.club_speeds.load_player", compiled)
    monkeypatch.setattr("holesim.reports.check_text.player_text", str)
    before = signal.getsignal(how)
    code, _, err = run("check", DEMO[1])
    assert code == 128 + how
    assert "bug" not in err
    assert signal.getsignal(how) is before


@pytest.mark.parametrize("moved", range(5))
def test_a_command_stopped_between_two_files_leaves_them_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, moved: int
) -> None:
    def write(folder: Path) -> None:
        for name in ("plan.json", "plan.csv", "card.pdf", "hole-04-back.png"):
            (folder / name).write_text("whole")

    left = [None] * moved
    replace = Path.replace

    def stopped(path: Path, target: Path) -> Path:
        if not left:
            raise KeyboardInterrupt
        left.pop()
        return replace(path, target)

    monkeypatch.setattr(Path, "replace", stopped)
    with nullcontext() if moved == 4 else pytest.raises(KeyboardInterrupt):
        renamed_into(tmp_path, write)
    assert [path.read_text() for path in tmp_path.iterdir()] == ["whole"] * moved


def test_what_a_killed_run_left_is_cleaned_by_the_next(run: Run, tmp_path: Path) -> None:
    with subprocess.Popen([sys.executable, "-c", ""]) as gone:
        gone.wait()
    left = tmp_path / f".holesim-{gone.pid}-abcd_123" / "hole-04-back.png"
    # A run that goes on, and what is none of ours, are let be.
    others = [tmp_path / f".holesim-{os.getpid()}-abcd_123", tmp_path / ".holesim-cache", tmp_path / ".mine"]
    for path in (left, *(other / "file" for other in others)):
        path.parent.mkdir()
        path.write_bytes(b"half")
    assert run("plan", *DEMO, "--hole", "4", "--draws", "256", "--out", str(tmp_path))[0] == 0
    assert sorted(path for path in tmp_path.iterdir() if path.name.startswith(".")) == sorted(others)
    assert whole_files_only(tmp_path)


# --- names ----------------------------------------------------------------------------------------

NAMES = {
    "long": "Very " * 50_000 + "Long",
    "a path": "../../../etc/passwd",
    "slashes": "C:\\links\\..//:*?|",
    "control characters": "a\0b\x1b[2Jc\x7f\x85\u2028d",
    "a formula": r"$^_{}$ \frac{1}{0} $\alpha",
    "emoji": "\U0001f3cc\U0001f3fd\u200d\u2640\ufe0f\U0001f1ef\U0001f1f5",
    "right to left": "\u05e9\u05dc\u05d5\u05dd \u202eabc\u202c \u0645\u0644\u0639\u0628",
    "combining": "e" + "\u0301\u0327" * 60,
    "a script": "<script>alert('x')</script>&amp;",
    "lines": "one\ntwo\r\nthree\tfour",
    "a surrogate": "\ud83d half",
    "quotes": '";,\'"",=1+1',
    "dots": "..",
    "blank": " \u3000\u200b ",
}


@pytest.mark.parametrize("name", NAMES.values(), ids=NAMES.keys())
def test_names_break_no_picture_page_or_path(tmp_path: Path, name: str) -> None:
    course = small_again()
    for one in course["features"]:
        one["id"] = one["properties"]["name"] = name
        if one["properties"].get("golf") == "tee":
            one["properties"].pop("colour", None)
            one["properties"] |= {"tee": name, "ref": "1"}
    (tmp_path / "links.geojson").write_text(json.dumps(course))
    printed = "".join(c if c.isprintable() else " " for c in name)
    player, club = (json.dumps(printed[:most], ensure_ascii=False) for most in (80, 40))
    text = PLAYER.replace('"C\u00f8rin Vale"', player).replace('clubs."3-wood"', f"clubs.{club}")
    (tmp_path / "player.toml").write_text(text, encoding="utf-8")
    plan = make_plan(
        load_course(tmp_path / "links.geojson"),
        load_player(tmp_path / "player.toml"),
        RoundOptions(draws=256),
        holes=[1],
    )
    out = tmp_path / "out"
    written = write_plan(plan, out)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["links.geojson", "out", "player.toml"]
    assert sorted(path.name for path in written) == sorted(path.name for path in out.iterdir())
    assert len(written) == 6
    assert whole_files_only(out)
    content = json.loads((out / "plan.json").read_text(encoding="utf-8"))
    assert content["course"].isprintable()
    assert len(content["course"]) <= 80
    assert all(tee["tee"].isprintable() for tee in content["tees"])


def test_a_file_name_that_is_no_text(tmp_path: Path) -> None:
    name = os.fsdecode(b"l\xefnks\n.geojson")
    course = small_again()
    course["features"].pop()  # the outline, so that the course has its file's name
    (tmp_path / name).write_text(json.dumps(course))
    plan = make_plan(load_course(tmp_path / name), load_player(DEMO[1]), RoundOptions(draws=256), holes=[1])
    assert plan.course.name == "l nks "
    write_plan(plan, tmp_path / "out")
    assert whole_files_only(tmp_path / "out")


def test_a_terminal_that_knows_few_letters(tmp_path: Path) -> None:
    (tmp_path / "links.geojson").write_text(COURSE.replace("Petrel", "\u041f\u0442"), encoding="utf-8")
    done = subprocess.run(  # noqa: S603
        command_line("check", str(tmp_path / "links.geojson")),
        capture_output=True,
        env=os.environ | {"PYTHONIOENCODING": "latin-1"},
        check=False,
    )
    assert done.returncode == 1  # elevations are missing
    assert done.stdout.startswith(b"?? Ground: 2 holes")
