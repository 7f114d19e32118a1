"""Names that could do harm: they break no picture, no page and no path, and stay text."""

import json
import os
import re
import subprocess
from pathlib import Path

import pytest

import holesim
from holesim.app.cli.feedback import tell
from holesim.common.safe_files import json_text
from holesim.course.course_file import load_course
from holesim.handouts.plan_folder import write_plan
from holesim.plan.plan import make_plan
from holesim.plan.round_options import RoundOptions
from holesim.shot.club_speeds import load_player
from tests.conftest import DEMO
from tests.files.command_outcomes import command_line, whole_files_only
from tests.files.small_course import COURSE, PLAYER, small_course

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
    course = small_course()
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
    course = small_course()
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


def test_only_one_function_prints() -> None:
    commands = Path(holesim.__path__[0]) / "app" / "cli"
    printing = [
        path.name
        for path in commands.glob("*.py")
        if re.search(r"typer\.s?echo|\bprint\(|\.stdout\.write", path.read_text(encoding="utf-8"))
    ]
    assert printing == ["feedback.py"]


def test_what_is_told_commands_no_terminal(capsys: pytest.CaptureFixture[str]) -> None:
    tell("one\x1b[2J two\r\x07\n\u202ethree\x9b1m")
    assert capsys.readouterr().out == "one [2J two  \n three 1m\n"


def test_a_json_file_commands_no_terminal_and_holds_what_was_said() -> None:
    said = {"club": "\x1b[2J\x9b1m\x7f \u202e\u00a0 C\u00f8rin \U000e0001"}
    text = json_text(said)
    assert all(map(str.isprintable, text.splitlines()))
    assert json.loads(text) == said
    assert "C\u00f8rin" in text
