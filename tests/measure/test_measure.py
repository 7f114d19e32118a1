"""A player from measured drives: strikes separated, and a file whatever the order of the drives."""

import re
import tomllib
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from holesim.data.examples import PLAYER, find
from holesim.errors import InputError
from holesim.measure.column_file import Balls
from holesim.measure.drives_table import DrivesTable, load_drives
from holesim.measure.fit import FitDraws, fit_deliveries
from holesim.measure.measure import fit_player, format_player_file, parse_player
from holesim.measure.strikes_apart import StrikesApart, separate_strikes
from holesim.player.player import POSTERIOR_DRAWS, Strike, StrikeName
from holesim.player.player_file import PlayerFile, read_player
from holesim.shot.balls import SD
from holesim.shot.club_speeds import load_player
from holesim.units import DEGREE, MM, MPH, RPM
from tests.conftest import Run
from tests.measure.test_fit import measures, strikes, units

RANGE = find("range/demo.csv")
fit_anew = fit_deliveries
GOLFER = PlayerFile(name="a golfer", hand="right", sex="man", handicap_index=5.0, club_speed_mph=104.0)


@pytest.fixture(scope="module", autouse=True)
def _each_fit_once() -> Iterator[None]:
    """Fit the same drives in the same order once; what an order of the table changes is fitted anew."""
    known: dict[str, FitDraws] = {}

    def fit(
        measured: Mapping[str, NDArray[np.float64]],
        strike_of: NDArray[np.int64],
        strikes: Sequence[Strike],
        *,
        side: float,
        session_of: NDArray[np.int64],
        draws: int,
        rng: np.random.Generator,
        progress: Callable[[float], None] = lambda _: None,
    ) -> FitDraws:
        arrays = {name: column.tobytes() for name, column in measured.items()}
        given = repr(
            (arrays, strike_of.tobytes(), session_of.tobytes(), strikes, side, draws, rng.bit_generator.state)
        )
        if given not in known:
            known[given] = fit_anew(
                measured,
                strike_of,
                strikes,
                side=side,
                session_of=session_of,
                draws=draws,
                rng=rng,
                progress=progress,
            )
        return known[given]

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("holesim.measure.measure.fit_deliveries", fit)
        yield


def drives(attacks: NDArray[np.float64]) -> DrivesTable:
    lines = np.arange(2, len(attacks) + 2)
    return DrivesTable.of_one_session({"attack": attacks * DEGREE}, (), lines, "course", "range.csv")


def pairs(found: StrikesApart) -> tuple[tuple[StrikeName, ...], list[int]]:
    return found.names, found.strike_of.tolist()


def test_strikes_are_told_apart_where_they_clearly_are_two() -> None:
    rng = np.random.default_rng(1)
    one = rng.normal(1.0, 1.2, 60)
    two = np.concatenate([rng.normal(4.0, 0.8, 30), rng.normal(-2.5, 0.8, 20)])
    assert separate_strikes(drives(one), None).names == ("level",)
    assert pairs(separate_strikes(drives(two), None)) == (("up", "down"), [0] * 30 + [1] * 20)


def test_what_the_table_calls_strikes_only_groups_them_where_attack_was_measured() -> None:
    rng = np.random.default_rng(1)
    attacks = np.concatenate([rng.normal(4.0, 0.8, 8), rng.normal(-2.5, 0.8, 9)])
    told = separate_strikes(drives(attacks), None)
    named: tuple[StrikeName, ...] = ("level",) * 8 + ("up",) * 9
    found = separate_strikes(replace(drives(attacks), strikes=named), None)
    assert pairs(found) == (("up", "down"), [0] * 8 + [1] * 9) == pairs(told)
    # Not measured, the names are all there is.
    unknown = replace(drives(np.full(17, np.nan)), strikes=named)
    assert separate_strikes(unknown, None).names == ("up", "level")
    one = replace(drives(rng.normal(3.5, 0.1, 10)), strikes=("down",) * 5 + ("up",) * 5)
    with pytest.raises(InputError, match=r"attacks of up \+3\..° and down \+3\..° are one strike by name"):
        separate_strikes(one, None)


def test_a_drive_without_an_attack_is_left_out_where_attack_separates_strikes(
    run: Run, tmp_path: Path
) -> None:
    """It may be either strike."""
    rng = np.random.default_rng(1)
    attacks = np.concatenate([rng.normal(4.0, 0.8, 12), rng.normal(-2.5, 0.8, 12)])
    attacks[3] = np.nan
    expected = [0] * 3 + [-1] + [0] * 8 + [1] * 12
    assert pairs(separate_strikes(drives(attacks), None)) == (("up", "down"), expected)
    # Of one strike it can only be that one.
    assert separate_strikes(drives(attacks[:12]), None).strike_of.tolist() == [0] * 12
    # The table's own names leave no doubt.
    named: tuple[StrikeName, ...] = ("up",) * 12 + ("down",) * 12
    found = separate_strikes(replace(drives(attacks), strikes=named), None)
    assert found.strike_of.tolist() == [0] * 12 + [1] * 12
    path = tmp_path / "range.csv"
    cells = ["90" if np.isnan(a) else f"{a:.1f}" for a in attacks]
    path.write_text(
        "\n".join(["attack_deg,start_direction_deg", *(f"{a},{i % 3}" for i, a in enumerate(cells))])
    )
    words = ("--out", str(tmp_path / "p.toml"), "--like", str(find(PLAYER)), "--balls", "course")
    code, said, heard = run("measure", str(path), *words)
    assert code == 0, heard
    assert "line 5: attack_deg 90 is beyond what a launch monitor gives; left out" in heard
    assert said.startswith("23 drives in range.csv, the player's own balls: 11 up, 12 down (by attack angle)")
    assert "! Left out, line 5: nothing measured says which strike it was." in said


def file_of(rows: Sequence[str], path: Path, balls: Balls, golfer: PlayerFile) -> str:
    """Return the player file that a table of these lines gives, without what names the table."""
    path.write_text("\n".join(rows) + "\n", encoding="utf-8")
    text = format_player_file(fit_player(load_drives(path, balls=balls), golfer), golfer)
    assert text.splitlines()[0].endswith(f" drives of {path.name}.")
    return text.partition("\n")[2]


def test_the_order_of_rows_and_of_columns_makes_no_difference(tmp_path: Path) -> None:
    head, *rows = RANGE.read_text().split()
    rng = np.random.default_rng(2)
    expected = file_of((head, *rows), tmp_path / "a.csv", "range", GOLFER)
    for k in range(20):
        shuffled = [rows[i] for i in rng.permutation(len(rows))]
        assert file_of((head, *shuffled), tmp_path / f"{k}.csv", "range", GOLFER) == expected
    # Columns swap places, too.
    turned = [",".join(reversed(row.split(","))) for row in (head, *rows)]
    assert file_of(turned, tmp_path / "turned.csv", "range", GOLFER) == expected
    expected = file_of((head, *rows), tmp_path / "a.csv", "course", GOLFER)
    assert file_of((head, *reversed(rows)), tmp_path / "b.csv", "course", GOLFER) == expected


def test_the_order_of_rows_of_another_table_makes_no_difference(tmp_path: Path) -> None:
    """Strikes told apart by their attack, some values missing, some rows alike."""
    rng = np.random.default_rng(3)
    rows = [f"{a + rng.normal():.1f},{rng.normal():.1f},{spin}" for a in (4, -4) for spin in (2400, "") * 4]
    rows.append(rows[0])
    head = "attack_deg,start_direction_deg,spin_rpm"
    expected = file_of((head, *rows), tmp_path / "a.csv", "course", GOLFER)
    assert "[strikes.up]" in expected
    assert "[strikes.down]" in expected
    for k in range(20):
        shuffled = [rows[i] for i in rng.permutation(len(rows))]
        assert file_of((head, *shuffled), tmp_path / f"{k}.csv", "course", GOLFER) == expected


def test_swapped_names_give_the_same_file_and_are_said(tmp_path: Path, run: Run) -> None:
    head, *rows = RANGE.read_text().split()
    other = {"up": "down", "down": "up"}
    swapped = [f"{other[name]},{rest}" for name, _, rest in (row.partition(",") for row in rows)]
    expected = file_of((head, *rows), tmp_path / "a.csv", "range", GOLFER)
    assert file_of((head, *swapped), tmp_path / "b.csv", "range", GOLFER) == expected
    words = ("--out", str(tmp_path / "p.toml"), "--name", "a golfer", "--sex", "man", "--handicap", "5")
    said = run("measure", str(tmp_path / "b.csv"), "--balls", "range", *words)[1]
    told = re.search(r"What the table calls down is up here: its attack angle is \+(.*?)°", said)
    assert told is not None
    assert float(told[1]) == pytest.approx(4, abs=0.3)
    assert "What the table calls" not in run("measure", str(RANGE), "--balls", "range", *words)[1]


def test_neither_of_two_strikes_that_spread_alike_looks_tighter_for_its_place(tmp_path: Path) -> None:
    """Twenty drives, ten of each strike, sorted one way and the other."""
    rng, known = np.random.default_rng(12), strikes()
    centres, unit = units(known)
    strike_of = np.repeat([0, 1], 10)
    columns, sizes = ("start_direction", "spin", "launch_angle"), (DEGREE, RPM, DEGREE)
    ratios = []
    for _ in range(6):
        swings = centres[strike_of] + unit * rng.standard_normal((20, len(unit)))
        given = measures(swings, columns, rng)
        values = np.array([given[name] / size for name, size in zip(columns, sizes, strict=True)]).T
        rows = [
            f"{('up', 'down')[s]},{a:.2f},{b:.0f},{c:.2f}"
            for s, (a, b, c) in zip(strike_of, values, strict=True)
        ]
        head = "strike,start_direction_deg,spin_rpm,launch_angle_deg"
        found = []
        for name, lines in (("a", rows), ("b", rows[::-1])):
            path = tmp_path / f"{name}.csv"
            path.write_text("\n".join((head, *lines)) + "\n")
            found.append(fit_player(load_drives(path, balls="course"), GOLFER).fit.ratios)
        assert np.array_equal(found[0], found[1])
        ratios.append(np.log(found[0][:, 1] / found[0][:, 0]))
    # Of golfers whose strikes spread alike, neither is tighter on average.
    means = np.mean(ratios, axis=1)
    assert abs(means.mean()) < 3 * np.std(ratios) / np.sqrt(len(ratios))
    # Nor does one that is fitted first know more of its spread than the other.
    assert np.std(np.log(found[0]), axis=0)[0] == pytest.approx(np.std(np.log(found[0]), axis=0)[1], rel=0.15)


def test_the_usual_strike_is_asked_for(tmp_path: Path, run: Run) -> None:
    out = tmp_path / "p.toml"
    common = ("measure", str(RANGE), "--balls", "range", "--out", str(out))
    named = (*common, "--name", "a golfer", "--sex", "man", "--handicap", "5")
    said = run(*named)[1]
    assert "add --usual" in said.replace("\n", " ")
    assert read_player(out)[0].usual is None
    assert "add --usual" not in run(*named, "--usual", "down")[1].replace("\n", " ")
    assert read_player(out)[0].usual == "down"
    code, _, err = run(*named, "--usual", "level")
    assert (code, err.count("\n")) == (2, 1)
    assert "--usual: level was not hit; give up or down" in err
    assert run(*common, "--like", str(find(PLAYER)))[0] == 0
    assert read_player(out)[0].usual == read_player(find(PLAYER))[0].usual
    # What a file says is usual but was not hit is left out.
    like = tmp_path / "like.toml"
    told = 'name = "a"\nhand = "right"\nsex = "man"\nhandicap_index = 5\nclub_speed_mph = 100\n'
    like.write_text(f'{told}usual = "level"\n[strikes.level]\n')
    assert run(*common, "--like", str(like))[0] == 0
    assert read_player(out)[0].usual is None


def test_every_strike_has_a_spread_of_its_own_and_the_ball_what_carries_tell() -> None:
    texts = {
        balls: format_player_file(fit_player(load_drives(RANGE, balls=balls), GOLFER), GOLFER)
        for balls in ("course", "range")
    }
    told = tomllib.loads(texts["course"])
    assert list(told["strikes"]) == ["up", "down"]
    for table in told["strikes"].values():
        assert set(table["spread"]["se"]) == set(told["spread"]["se"]) - {
            "face_path_correlation",
            "miss_rate",
        }
        assert table["spread"]["at_mph"] == table["club_speed_mph"]
    assert "clubs" not in told
    assert {len(off) for off in told["likely"].values()} == {POSTERIOR_DRAWS}
    assert 0.1 < told["ball"]["drag_slope"] < 1.2
    assert 0 < told["ball"]["se"]["drag_slope"] < SD
    assert "ball.drag_slope" in told["likely"]
    assert "ball" not in tomllib.loads(texts["range"])


def test_a_measured_player_comes_back(tmp_path: Path, run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    rng, known = np.random.default_rng(3), strikes()
    centres, unit = units(known)
    columns = ("club_speed", "attack", "path", "face", "launch_angle", "start_direction", "spin", "axis_tilt")
    keys = ("club_speed_mph", "attack_deg", "path_deg", "face_deg", "launch_angle_deg", "start_direction_deg",
            "spin_rpm", "axis_tilt_deg")  # fmt: skip
    sizes = (MPH, DEGREE, DEGREE, DEGREE, DEGREE, DEGREE, 2 * np.pi / 60, DEGREE)
    rows = []
    for centre in centres:
        given = measures(centre + unit * rng.standard_normal((40, len(unit))), columns, rng)
        rows += np.array([given[name] / size for name, size in zip(columns, sizes, strict=True)]).T.tolist()
    path = tmp_path / "range.csv"
    path.write_text("\n".join([",".join(keys), *(",".join(f"{v:.2f}" for v in row) for row in rows)]))
    out = tmp_path / "player.toml"
    words = ("measure", str(path), "--out", str(out), "--like", str(find(PLAYER)), "--balls", "course")
    code, said, err = run(*words)
    assert code == 0, err
    assert "80 drives in range.csv, the player's own balls:" in said
    assert "by attack angle" in said
    player = load_player(out)
    assert player.measured == 80
    assert {strike.club for strike in player.strikes} == {s.club for s in load_player(find(PLAYER)).strikes}
    for strike in known:
        found = player.driver(strike.name)
        assert abs(found.attack - strike.attack) < 3 * found.se["attack"]
        assert abs(found.club_speed - strike.club_speed) < 3 * found.se["club_speed"]
        assert abs(found.spread.face - strike.spread.face) < 3 * found.spread.se["face"]
        assert 0.03 < found.spread.se["face"] / found.spread.face < 0.25
    # The same seed, the same file.
    monkeypatch.setattr("holesim.measure.measure.fit_deliveries", fit_anew)
    golfer, _ = read_player(find(PLAYER))
    assert (
        format_player_file(fit_player(load_drives(path, balls="course"), golfer), golfer) == out.read_text()
    )


# --- what is written is read ----------------------------------------------------------------------


def test_a_fit_with_heavy_tails_is_read_again(tmp_path: Path) -> None:
    """One draw in 2,000 that lies alone is as far off as any can be: 44.7 standard deviations."""
    table = load_drives(RANGE, balls="course")
    found = fit_player(table, GOLFER)
    means = found.fit.means.copy()
    toe = means[:, 0, 5]
    toe[:] = toe.mean()
    toe[0] += 20 * MM
    heavy = replace(found, fit=replace(found.fit, means=means, drag_slope=np.full(len(toe), 0.5)))
    text = format_player_file(heavy, GOLFER)
    off = tomllib.loads(text)["likely"]
    assert max(off["strikes.up.toe_mm"]) == pytest.approx((len(toe) - 1) ** 0.5, abs=0.01)
    # A number that is the same in every draw is off by nothing.
    assert set(off["ball.drag_slope"]) == {0.0}
    path = tmp_path / "player.toml"
    path.write_text(text, encoding="utf-8")
    assert load_player(path).likely["strikes.up.toe_mm"] == off["strikes.up.toe_mm"]


@pytest.mark.parametrize("off", [45.5, -46.0])
def test_draws_farther_off_than_any_can_be_are_refused(tmp_path: Path, off: float) -> None:
    path = tmp_path / "player.toml"
    path.write_text(
        'name = "a"\nhand = "right"\nsex = "man"\nhandicap_index = 5\nclub_speed_mph = 100\n'
        "[strikes.up]\nface_deg = 0.5\nse = { face_deg = 0.2 }\n"
        f'[likely]\n"strikes.up.face_deg" = {[off] * POSTERIOR_DRAWS}\n',
        encoding="utf-8",
    )
    with pytest.raises(InputError, match="likely"):
        load_player(path)


def test_clubs_and_tees_of_the_golfers_file_are_kept(run: Run, tmp_path: Path) -> None:
    like, out = tmp_path / "like.toml", tmp_path / "player.toml"
    like.write_text(
        'name = "a"\nhand = "right"\nsex = "man"\nhandicap_index = 5\ncarry_yd = 250\ntee = "white"\n'
        '[clubs."3-wood"]\n[clubs."5-wood"]\ncarry_yd = 205\n[clubs."7-iron"]\nkind = "iron"\n',
        encoding="utf-8",
    )
    code, _, err = run("measure", str(RANGE), "--balls", "course", "--like", str(like), "--out", str(out))
    assert code == 0, err
    read = load_player(out)
    assert read.tee == "white"
    clubs = {strike.club: strike.club_speed for strike in read.strikes if strike.club != "driver"}
    assert list(clubs)[:3] == ["3-wood", "5-wood", "7-iron"]
    known = {strike.club: strike.club_speed for strike in load_player(like).strikes}
    assert clubs["5-wood"] == pytest.approx(known["5-wood"])


def test_the_file_that_says_who_it_is_is_not_written_over(run: Run, tmp_path: Path) -> None:
    like = tmp_path / "like.toml"
    like.write_text(find(PLAYER).read_text(encoding="utf-8"), encoding="utf-8")
    before = like.read_bytes()
    code, _, err = run("measure", str(RANGE), "--balls", "course", "--like", str(like), "--out", str(like))
    assert (code, like.read_bytes()) == (2, before)
    assert "is what is read; give another file or folder" in err


@pytest.mark.parametrize("key", ["face_deg", "path_deg", "speed_pct", "toe_mm"])
def test_a_golfer_without_scatter_is_refused(run: Run, tmp_path: Path, key: str) -> None:
    like = tmp_path / "like.toml"
    like.write_text(
        'name = "a"\nhand = "right"\nsex = "man"\nhandicap_index = 5\nclub_speed_mph = 100\n'
        f"[spread]\n{key} = 0\n",
        encoding="utf-8",
    )
    code, _, err = run(
        "measure", str(RANGE), "--balls", "course", "--like", str(like), "--out", str(tmp_path / "out.toml")
    )
    assert code == 2
    assert (
        f"holesim: --like: spread.{key}: is 0, and nobody's swing scatters so little; correct it there" in err
    )


def test_drives_struck_all_over_the_face_make_a_file_that_can_be_read(run: Run, tmp_path: Path) -> None:
    rng = np.random.default_rng(1)
    table, out = tmp_path / "absurd.csv", tmp_path / "player.toml"
    rows = [f"{100 + 0.1 * k:.1f},{rng.choice([-48, 48])},{rng.choice([-48, 48])}" for k in range(30)]
    table.write_text("\n".join(["club_speed_mph,toe_mm,high_mm", *rows]), encoding="utf-8")
    code, _, err = run(
        "measure", str(table), "--balls", "course", "--out", str(out),
        "--name", "a", "--sex", "man", "--handicap", "5",
    )  # fmt: skip
    assert code == 0, err
    toe = read_player(out)[0].spread.toe_mm
    assert toe is not None
    assert toe > 25


def test_numbers_that_are_none_are_refused_before_anything_is_written() -> None:
    found = fit_player(load_drives(RANGE, balls="course"), GOLFER)
    means = found.fit.means.copy()
    means[0, 0, 5] = np.nan
    text = format_player_file(replace(found, fit=replace(found.fit, means=means)), GOLFER)
    with pytest.raises(InputError, match=r"demo\.csv: has drives that no golfer hits"):
        parse_player(found, text)
