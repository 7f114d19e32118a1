"""Outlines and aims stand where a GIS expects them, and every drive is a row."""

import json
from math import hypot
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest
import shapely
from pyproj import Geod
from shapely.geometry import shape

from holesim.common.density import outlines
from holesim.course.course import Course
from holesim.plan.finishes_file import drives_frame, finishes_geojson
from holesim.plan.plan import Plan, make_plan
from holesim.plan.round_options import RoundOptions
from holesim.player.player import Player
from holesim.units import YARD
from tests.conftest import DEMO, Run

GEOD = Geod(ellps="WGS84")


@pytest.fixture(scope="module")
def plan(demo_course: Course, amateur: Player) -> Plan:
    return make_plan(demo_course, amateur, RoundOptions(draws=1024), holes=[4], tees=["back", "forward"])


@pytest.fixture(scope="module")
def features(plan: Plan) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = json.loads(finishes_geojson(plan))["features"]
    return found


def test_outlines_of_a_normal_distribution_have_the_known_size() -> None:
    # Of a round normal distribution half lies within 1.1774 standard deviations, nine tenths within 2.1460.
    points = np.random.default_rng(4).normal(0, 20, (20_000, 2))
    half, most = outlines(points, (0.5, 0.9))
    assert np.sqrt(half.area / np.pi) == pytest.approx(1.1774 * 20, rel=0.03)
    assert np.sqrt(most.area / np.pi) == pytest.approx(2.1460 * 20, rel=0.03)


def test_every_strike_has_two_outlines_and_an_aim(plan: Plan, features: list[dict[str, Any]]) -> None:
    expected = [(tee.tee.name, s.club, s.strike) for tee in plan.tees for s in tee.strikes for _ in range(3)]
    assert [tuple(f["properties"][key] for key in ("tee", "club", "strike")) for f in features] == expected
    kinds = [f["properties"].get("share", f["geometry"]["type"]) for f in features]
    assert kinds == ["LineString", 0.5, 0.9] * (len(kinds) // 3)
    assert {f["id"] for f in features} >= {"hole 4 back up aim", "hole 4 back up 50%", "hole 4 back down 90%"}
    assert len({f["id"] for f in features}) == len(features)
    chosen = {f["properties"]["strike"] for f in features if f["properties"]["chosen"]}
    assert chosen == {tee.choice.strike for tee in plan.tees}


def test_on_the_earth_they_lie_where_the_drives_do(plan: Plan, features: list[dict[str, Any]]) -> None:
    course = json.loads(Path(DEMO[0]).read_text(encoding="utf-8"))["features"]
    tee_area = next(shape(f["geometry"]) for f in course if f["id"] == "hole 4 back tee")
    strike = plan.tees[0].strikes[0]
    aim, half, most = (shape(f["geometry"]) for f in features[:3])
    assert tee_area.contains(shapely.Point(aim.coords[0]))
    (from_x, from_y), (to_x, to_y) = aim.coords
    assert GEOD.inv(from_x, from_y, to_x, to_y)[2] == pytest.approx(strike.total, abs=0.1)
    assert most.buffer(1e-7).contains(half)
    # The inverse geodesic problem on the ellipsoid (Karney, J. Geodesy 87, 2013) has the distance.
    middle = half.centroid
    away = GEOD.inv(from_x, from_y, middle.x, middle.y)[2]
    tee = plan.tees[0].tee
    finishes = np.hypot(strike.drives.x - tee.x, strike.drives.y - tee.y)
    assert away == pytest.approx(np.median(finishes), abs=6)


def test_a_row_is_a_drive(plan: Plan) -> None:
    rows = drives_frame(plan)
    assert len(rows) == 1024 * sum(len(tee.strikes) for tee in plan.tees)
    tee = plan.tees[0]
    strike = tee.choice
    mine = rows[(rows.tee == "back") & (rows.club == strike.club) & (rows.strike == strike.strike)]
    assert mine.drive.tolist() == list(range(1, 1025))
    assert mine.strokes.mean() == pytest.approx(strike.strokes, abs=1e-9)
    assert np.hypot(mine.landing_along_yd, mine.landing_side_yd).mean() * YARD == pytest.approx(strike.carry)
    assert np.hypot(mine.finish_along_yd, mine.finish_side_yd).mean() * YARD == pytest.approx(strike.total)
    assert (mine.finish == "penalty").mean() == pytest.approx(strike.shares["penalty"], abs=1e-9)
    away = hypot(tee.hole.pin[0] - tee.tee.x, tee.hole.pin[1] - tee.tee.y)
    pin = np.hypot(away / YARD - mine.finish_along_yd, mine.finish_side_yd) * YARD
    own = np.hypot(tee.hole.pin[0] - strike.drives.x, tee.hole.pin[1] - strike.drives.y)
    np.testing.assert_allclose(pin, own, atol=1e-6)


def test_the_command_writes_them(run: Run, tmp_path: Path) -> None:
    words = ("plan", *DEMO, "--hole", "4", "--draws", "256", "--out")
    assert run(*words, str(tmp_path / "a"), "--drives", "csv")[0] == 0
    assert run(*words, str(tmp_path / "b"), "--drives", "npz")[0] == 0
    table = pd.read_csv(tmp_path / "a" / "drives.csv")
    with np.load(tmp_path / "b" / "drives.npz") as arrays:
        assert list(arrays) == list(table.columns)
        for name in table.columns:
            ours, theirs = arrays[name], table[name].to_numpy()
            same = ours == theirs if ours.dtype.kind == "U" else np.abs(ours - theirs) < 6e-4
            assert same.all(), name
    assert run(*words, str(tmp_path / "c"), "--drives", "npz")[0] == 0
    for name in ("drives.npz", "finishes.geojson"):
        assert (tmp_path / "b" / name).read_bytes() == (tmp_path / "c" / name).read_bytes()
    assert not (tmp_path / "b" / "drives.csv").exists()


def test_drives_need_somewhere_to_go(run: Run) -> None:
    code, out, err = run("demo", "--drives", "csv")
    assert (code, out) == (2, "")
    assert err == "holesim: --drives: has nowhere to write; add --out DIR\n"
