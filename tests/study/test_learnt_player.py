"""A player file that has learnt: the mean by the bias, the spread by the scatter, and nothing is lost."""

import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from holesim.common.toml_tables import to_toml
from holesim.course.course import Course
from holesim.data.examples import PLAYER, find
from holesim.plan.plan import make_plan
from holesim.plan.plan_file import load_plan
from holesim.plan.plan_tables import PlanFile
from holesim.plan.posterior_draws import posterior_draws
from holesim.plan.round_options import RoundOptions
from holesim.player.player import POSTERIOR_DRAWS
from holesim.shot.club_speeds import load_player, load_player_file
from holesim.study.learnt_player import update_player
from holesim.study.lesson import Interval, Lesson
from holesim.study.round_file import DriveResult
from holesim.units import DEGREE

Tables = dict[str, Any]

BARE = 'name = "A"\nhand = "right"\nsex = "man"\nhandicap_index = 12\ncarry_yd = 220\n'


def lesson(bias: float = 0.0, spread: float = 1.0, drives: int = 14, sd: float = 20.0) -> Lesson:
    """Return what drives tell that finish off by `bias` on average, of a planned scatter `sd` [yd]."""
    se = sd * spread / np.sqrt(drives)
    return Lesson(
        offsets=np.full(drives, bias),
        planned=np.zeros(3),
        probabilities=np.array([0.1, 0.5, 0.9]),
        bias=Interval(bias, bias - 2 * se, bias + 2 * se),
        bias_se=float(se),
        spread=Interval(spread, spread / 2, spread * 2),
    )


@pytest.fixture
def up(plan: PlanFile) -> DriveResult:
    """A drive by the strike up."""
    tee = plan.tees[0]
    strike = next(s for s in tee.strikes if s.label == "up")
    return DriveResult(2, tee, strike, "rough", np.nan, np.nan, np.nan)


def learnt(path: Path, side: Lesson, hit: DriveResult, total: Lesson | None = None) -> Tables:
    golfer = load_player_file(path)[0]
    text = update_player(golfer, {"side": side, "total": total}, [hit])
    assert text is not None
    return tomllib.loads(text)


def test_scatter_as_planned_makes_the_spread_surer_and_more_scatter_widens_it(up: DriveResult) -> None:
    told = learnt(find(PLAYER), lesson(drives=40), up)
    assert told["spread"]["face_deg"] == pytest.approx(1.6, rel=1e-3)
    assert told["spread"]["se"]["face_deg"] == pytest.approx(1.6 / np.sqrt(2 * (8 + 39)), rel=1e-3)
    assert told["measured"]["drives"] == 40
    wide = learnt(find(PLAYER), lesson(spread=1.5, drives=40), up)
    assert wide["spread"]["path_deg"] == pytest.approx(1.7 * np.sqrt((8 + 39 * 1.5**2) / (8 + 39)), rel=1e-3)
    assert wide["strikes"]["up"].get("face_deg", 0.0) == pytest.approx(0, abs=1e-9)


def test_a_shift_moves_the_mean_of_the_strikes_hit_and_not_the_spread(up: DriveResult) -> None:
    before = learnt(find(PLAYER), lesson(), up)
    after = learnt(find(PLAYER), lesson(bias=15.0), up)
    assert after["spread"] == before["spread"]
    assert after["strikes"]["up"]["face_deg"] > 1.0
    assert "face_deg" not in after["strikes"]["down"]
    left = learnt(find(PLAYER), lesson(bias=-15.0), up)
    assert left["strikes"]["up"]["face_deg"] == pytest.approx(-after["strikes"]["up"]["face_deg"], rel=0.05)


def test_a_club_with_an_empty_table_stays(tmp_path: Path, up: DriveResult) -> None:
    file = tmp_path / "player.toml"
    file.write_text(find(PLAYER).read_text() + '\n[clubs."9-wood"]\n')
    assert learnt(file, lesson(), up)["clubs"]["9-wood"] == {}
    assert learnt(file, lesson(), up)["clubs"]["3-wood"] == {"club_speed_mph": 101.0}


def test_face_and_swing_line_move_by_how_unsure_each_is(tmp_path: Path, up: DriveResult) -> None:
    """Opposite ways, as the one's right is the other's left; the surer one moves less."""
    told = tomllib.loads(find(PLAYER).read_text())
    told["strikes"]["up"] |= {"swing_line_deg": 3.7, "se": {"face_deg": 0.6, "swing_line_deg": 0.3}}
    file = tmp_path / "player.toml"
    file.write_text(to_toml(told))
    table = learnt(file, lesson(bias=15.0), up)["strikes"]["up"]
    face, line = table["face_deg"], table["swing_line_deg"] - 3.7
    assert face > 0 > line
    assert face / -line == pytest.approx(4, rel=0.05)
    assert 0 < table["se"]["face_deg"] < 0.6
    assert 0 < table["se"]["swing_line_deg"] < 0.3


def test_the_draws_of_a_file_stay_with_its_numbers(tmp_path: Path, up: DriveResult) -> None:
    """Errors that go together say how unsure the mean side is: where they cancel, nothing moves."""
    told = tomllib.loads(find(PLAYER).read_text())
    told["strikes"]["up"] |= {"swing_line_deg": 3.7, "se": {"face_deg": 0.5, "swing_line_deg": 0.5}}
    off = np.linspace(-1.7, 1.7, POSTERIOR_DRAWS).round(3)
    file, moved = tmp_path / "player.toml", {}
    for name, other in (("apart", off[::-1]), ("alike", off)):
        draws = {"strikes.up.face_deg": off.tolist(), "strikes.up.swing_line_deg": other.tolist()}
        file.write_text(to_toml(told | {"likely": draws}))
        after = learnt(file, lesson(bias=15.0), up)
        assert after["likely"] == draws
        moved[name] = after["strikes"]["up"]["face_deg"]
        (tmp_path / "learnt.toml").write_text(to_toml(after))
        golfers = posterior_draws(load_player(tmp_path / "learnt.toml"), seed=1).golfers
        faces = np.array([golfer.driver("up").face for golfer in golfers]) / DEGREE
        assert faces.mean() == pytest.approx(moved[name], abs=0.01)
    assert moved["apart"] > 0.5
    assert moved["alike"] == pytest.approx(0, abs=0.05)


def test_a_bias_in_length_moves_the_club_speed_in_part(up: DriveResult) -> None:
    """Loft, attack and the ball may be why, too: eight yards are some 2.5 mph, of which a part is learnt."""
    short = learnt(find(PLAYER), lesson(), up, lesson(bias=-8.0, sd=14.0))["strikes"]["up"]
    assert 106 - 2.5 < short["club_speed_mph"] < 106 - 0.2
    assert 0 < short["se"]["club_speed_mph"] < 1.06


def test_a_player_of_whom_little_is_known_learns_as_well(tmp_path: Path, up: DriveResult) -> None:
    """Who states a carry, no spread and no strike: defaults are written out, and the habit stays."""
    file, after = tmp_path / "player.toml", tmp_path / "learnt.toml"
    file.write_text(BARE)
    told = learnt(file, lesson(bias=15.0), up)
    assert told["strikes"]["down"] == {}
    after.write_text(to_toml(told))
    was, now = load_player(file), load_player(after)
    assert [s.label for s in now.strikes] == [s.label for s in was.strikes]
    assert now.can_choose == was.can_choose
    assert now.club_speed == was.club_speed
    assert now.driver("up").face > 1 * DEGREE
    assert now.driver("up").spread.se["face"] < 0.2 * now.driver("up").spread.face
    assert "face" in was.driver("up").spread.assumed


def test_a_left_hander_s_club_turns_the_same_way(tmp_path: Path, up: DriveResult) -> None:
    """Right is right for either hand: drives that finish right have a face that points right."""
    file = tmp_path / "player.toml"
    found = []
    for hand in ("right", "left"):
        file.write_text(find(PLAYER).read_text().replace('hand = "right"', f'hand = "{hand}"'))
        found.append(learnt(file, lesson(bias=15.0), up)["strikes"]["up"]["face_deg"])
    assert found[0] == pytest.approx(found[1], rel=0.02)


def test_too_few_drives_teach_nothing(up: DriveResult) -> None:
    golfer = load_player_file(find(PLAYER))[0]
    assert update_player(golfer, {"side": None, "total": lesson()}, [up]) is None


def test_a_plan_by_the_learnt_file_allows_for_the_bias(
    demo_course: Course, up: DriveResult, tmp_path: Path
) -> None:
    """Of a bias of 15 yd in 14 drives 14/18 is expected and aimed against, as the file counts for four."""
    file = tmp_path / "player.toml"
    file.write_text(to_toml(learnt(find(PLAYER), lesson(bias=15.0), up)))
    found = []
    for path in (find(PLAYER), file):
        plan = make_plan(demo_course, load_player(path), RoundOptions(draws=1024), holes=[9])
        (tmp_path / "plan.json").write_text(plan.to_json())
        strikes = load_plan(tmp_path / "plan.json").tees[0].strikes
        strike = next(s for s in strikes if s.label == "up")
        assert strike.side_quantiles_yd is not None
        found.append((strike.side_quantiles_yd[6], strike.aim_deg * DEGREE * strike.total_yd))
    (side, aim), (side_after, aim_after) = found
    assert side_after - side == pytest.approx(15 * 14 / 18, abs=2.5)
    assert aim_after - aim == pytest.approx(-15 * 14 / 18, abs=4)
