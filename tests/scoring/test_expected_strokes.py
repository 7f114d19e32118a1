"""Expected strokes on a hole: the published table on a plain one, and the effect of trees and water."""

from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from math import cos, sin, sqrt
from pathlib import Path

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray
from scipy.interpolate import interpn
from scipy.stats import multivariate_t
from shapely.affinity import translate
from shapely.geometry import Polygon

from holesim.course.course import Course, Ground, Spot
from holesim.course.ground_map import map_ground
from holesim.scoring import expected_strokes, shot_dispersion, strokes_table
from holesim.scoring.expected_strokes import FREEDOM, STEP, ExpectedStrokes, follow_policy, solve_hole
from holesim.scoring.shot_dispersion import TOUR, DispersionSkill, club_dispersion, plain_hole_table
from holesim.shot.relief import Lie
from holesim.units import YARD
from tests.conftest import straight_course

Floats = NDArray[np.float64]
PIN = 420 * YARD
BOGEY = DispersionSkill(1.2, 2.4)
ROUGHNESS = 0.6 / 64
"""Strokes that a shot loses when one of its 64 outcomes finishes in rough instead of on the green.

Of two shots that differ by no more either may be chosen, so one place alone says little. Users see means over
many drives, and differences between two strikes."""

PLAIN_HOLES = ((300, 30), (301, 27), (302, 33), (303, 24), (340, 36), (380, 29), (420, 31), (421, 28))
"""Lengths and fairway widths [yd]; on each hole other outcomes lie near an edge."""

ACROSS = np.arange(-35.0, 36.0, 2.5)  # m


def solve(course: Course, golfer: DispersionSkill = TOUR, *, step: float = STEP) -> ExpectedStrokes:
    table = strokes_table.make_strokes_table(
        strokes_table.Skill(golfer.length_ratio, 1 + 0.33 * (golfer.dispersion_ratio - 1))
    )
    return solve_hole(club_dispersion(golfer), table, course.holes[0], map_ground(course), step=step)


def sample_strokes(expected: ExpectedStrokes, length: float, width: float) -> Floats:
    """Return expected strokes every 2.5 m along and across a plain hole, from fairway and rough."""
    x, y = np.meshgrid(ACROSS, length * YARD - np.arange(18.0, min(length * YARD - 105, 255), 2.5))
    fairway, rough = (expected.at(lie, x, y) for lie in (Lie.FAIRWAY, Lie.ROUGH))
    return np.where(np.abs(x) < width / 2 * YARD, fairway, rough)


def after_drives(values: Floats) -> Floats:
    """Return means of such values over drives that scatter as drives do, each 10 m longer than the last."""
    along = 2.5 * np.arange(len(values))
    longer = np.exp(-0.5 * ((along[::4, None] - along) / 10) ** 2)
    wider = np.exp(-0.5 * (ACROSS / 12) ** 2)
    return np.asarray(longer / longer.sum(axis=1, keepdims=True) @ values @ wider / wider.sum())


def rms(values: list[Floats]) -> float:
    return sqrt(np.mean([*map(np.mean, map(np.square, values))]))


@cache
def solve_plain_hole() -> ExpectedStrokes:
    return solve(straight_course())


def at(expected: ExpectedStrokes, lie: Lie, x: Floats, y: Floats) -> Floats:
    columns, rows = expected.axes
    return np.asarray(interpn((rows, columns), expected.grid.values[lie], np.stack([y, x], axis=-1)))


def small_bunkers() -> tuple[tuple[Ground, Polygon], ...]:
    """Return bunkers 4 m wide beside a plain fairway, every 20 yd: too small to matter to other balls."""
    return tuple(
        (Ground.BUNKER, shapely.Point(18 * YARD, PIN - yards * YARD).buffer(2, cap_style="square"))
        for yards in range(40, 301, 20)
    )


@pytest.mark.parametrize(("lie", "aside"), [(Lie.FAIRWAY, 0.0), (Lie.ROUGH, 18.0), (Lie.SAND, 18.0)])
def test_a_plain_hole_gives_the_published_table_back(lie: Lie, aside: float) -> None:
    # Broadie 2012, 2014: the table to which the spread of shots was fitted.
    expected = solve(straight_course(areas=small_bunkers())) if lie == Lie.SAND else solve_plain_hole()
    y = PIN - np.arange(40.0, 301.0, 20.0) * YARD
    x = np.full(len(y), aside * YARD)
    table = strokes_table.make_strokes_table(strokes_table.Skill(1.0, 1.0))[lie]
    away = np.hypot(x, PIN - y)
    np.testing.assert_allclose(
        at(expected, lie, x, y), np.interp(away, strokes_table.DISTANCES, table), atol=0.05, rtol=0
    )


@pytest.mark.parametrize(("length_ratio", "dispersion_ratio"), [(1.05, 1.25), (1.25, 2.4), (1.5, 3.4)])
def test_the_file_of_plain_holes_holds_their_solutions(length_ratio: float, dispersion_ratio: float) -> None:
    """For golfers near scratch and bogey, between those in the file."""
    who, course = DispersionSkill(length_ratio, dispersion_ratio), straight_course(640)
    table = strokes_table.make_strokes_table(
        strokes_table.Skill(length_ratio, 1 + 0.33 * (dispersion_ratio - 1))
    )
    expected = solve_hole(club_dispersion(who), table, course.holes[0], map_ground(course))
    away = np.arange(60.0, 501.0, 40.0) * YARD
    found = at(expected, Lie.FAIRWAY, 0 * away, 640 * YARD - away)
    np.testing.assert_allclose(
        found, np.interp(away, strokes_table.DISTANCES, plain_hole_table(who)[Lie.FAIRWAY]), atol=0.04, rtol=0
    )


@pytest.mark.parametrize("length", [1.5, 3.0, 150.0])
def test_what_trees_stop_lies_among_them(length: float) -> None:
    """Short shots too, out of the wood, beside it and along it."""
    wood = shapely.box(20.5, 60, 60, PIN - 30)  # half a metre from grid points
    course = straight_course(areas=((Ground.TREES, wood),))
    expected = solve(course, step=10.0)
    assert expected.policy is not None
    assert expected.problem is not None
    for bearing in (0.0, 2.0):
        turned = expected.policy._replace(
            lengths=np.full_like(expected.grid.values, length),
            bearings=np.full_like(expected.grid.values, bearing),
        )
        found = follow_policy(replace(expected, policy=turned))
        stopped = found.lies == Lie.RECOVERY
        assert stopped.mean() > 0.01
        # Trees are known by the metre.
        assert shapely.distance(wood, shapely.points(found.x[stopped], found.y[stopped])).max() < 0.8


def test_from_a_wood_beside_a_plain_hole_the_published_recoveries_come_back() -> None:
    # Broadie 2012, 2014: shots from where trees bar the way, most of them near the edge of a wood.
    wood = (Ground.TREES, shapely.box(25, 60, 60, PIN - 30))
    expected = solve(straight_course(areas=(wood,)))
    x, y = (axis.ravel() for axis in np.meshgrid([27.0, 30.0], PIN - np.arange(100.0, 301.0, 25.0) * YARD))
    table = strokes_table.make_strokes_table(strokes_table.Skill(1.0, 1.0))[Lie.RECOVERY]
    excess = at(expected, Lie.RECOVERY, x, y) - np.interp(
        np.hypot(x, PIN - y), strokes_table.DISTANCES, table
    )
    assert excess.mean() == pytest.approx(0, abs=0.2)


POND = (Ground.RED, shapely.box(-25, PIN - 45, 60, PIN - 20))
WOOD = (Ground.TREES, shapely.box(-60, 150, -18, 260))


@pytest.mark.parametrize(("trouble", "golfer"), [(POND, TOUR), (POND, BOGEY), (WOOD, TOUR)])
def test_a_mirrored_hole_has_a_mirrored_map(trouble: tuple[Ground, Polygon], golfer: DispersionSkill) -> None:
    """On many holes, to notice a search that misses the better of two shots on one side only."""
    changes = []
    for number, (length, width) in enumerate(PLAIN_HOLES):
        right = translate(trouble[1], 0.37 * number, length * YARD - PIN + 0.61 * number)
        left = shapely.transform(right, lambda xy: xy * (-1, 1))
        ours, theirs = (
            sample_strokes(solve(course, golfer), length, width)
            for course in (
                straight_course(length, fairway=width, areas=((trouble[0], outline),))
                for outline in (right, left)
            )
        )
        changes.append(theirs[:, ::-1] - ours)
    after = [after_drives(change) for change in changes]
    # No side is favoured. With wider misses, more costly outcomes cross an edge.
    assert abs(np.concatenate(after).mean()) < 0.001
    assert rms(after) < 0.0015 * golfer.dispersion_ratio
    assert rms(changes) < 0.0065 * golfer.dispersion_ratio


@pytest.mark.parametrize("trouble", [POND, WOOD])
def test_trouble_never_helps(trouble: tuple[Ground, Polygon]) -> None:
    # Compared only where the lie is the same on both holes.
    harder, easier = solve(straight_course(areas=(trouble,))), solve_plain_hole()
    x, y = (axis.ravel() for axis in np.meshgrid(np.linspace(-40, 40, 21), np.linspace(110, PIN - 20, 60)))
    clear = ~shapely.contains_xy(trouble[1].buffer(6), x, y)
    lies = np.where(np.abs(x) < 15 * YARD, Lie.FAIRWAY, Lie.ROUGH)
    change = np.concatenate(
        [
            at(harder, lie, x[some], y[some]) - at(easier, lie, x[some], y[some])
            for lie in (Lie.FAIRWAY, Lie.ROUGH)
            for some in [clear & (lies == lie)]
        ]
    )
    assert change.min() > -2 * ROUGHNESS
    assert change.max() > 0.1


@pytest.mark.parametrize("golfer", [TOUR, BOGEY])
def test_a_finer_grid_says_the_same(golfer: DispersionSkill) -> None:
    """A round changes by less than 0.05 strokes, and the difference between strikes by far less.

    A plan states that difference to a hundredth, and counts strikes within two hundredths as equal.
    """
    changes = []
    for length, width in PLAIN_HOLES:
        course = straight_course(length, fairway=width)
        coarse, fine = (
            sample_strokes(solve(course, golfer, step=step), length, width) for step in (STEP, STEP / 2)
        )
        changes.append(fine - coarse)
    after = [after_drives(change) for change in changes]
    gained = [change[2:] - change[:-2] for change in after]  # by a drive 20 m longer
    assert abs(np.concatenate(after).mean()) < 0.05 / 18
    assert rms(gained) < 0.001 * golfer.dispersion_ratio
    assert rms(changes) < 0.004 * golfer.dispersion_ratio


@pytest.mark.parametrize("yards", [60, 130, 200, 280])
def test_no_other_target_is_better(yards: float) -> None:
    """Many targets are tried in plain numpy, with a hundred times as many outcomes of each shot."""
    x0, y0 = 0.0, PIN - yards * YARD
    course, who = straight_course(), club_dispersion(TOUR)
    ground, expected = map_ground(course), solve_plain_hole()
    z = multivariate_t(shape=np.eye(2) * (FREEDOM - 2) / FREEDOM, df=FREEDOM, seed=1).rvs(6400).T
    best = np.inf
    for length in np.arange(0.8, 1.01, 0.02) * min(yards * YARD, who.longest[Lie.FAIRWAY]):
        shot = [np.interp(length, shot_dispersion.LENGTHS, column) for column in who.shots[Lie.FAIRWAY].T]
        for bearing in np.arange(-0.06, 0.07, 0.02):
            along, aside = length + shot[0] * z[0], shot[1] * z[1]
            x = x0 + along * sin(bearing) + aside * cos(bearing)
            y = y0 + along * cos(bearing) - aside * sin(bearing)
            codes = ground.at(x, y)
            left = np.interp(np.hypot(x, y - PIN), strokes_table.DISTANCES, expected.grid.putts)
            for code, lie in ((Ground.FAIRWAY, Lie.FAIRWAY), (Ground.ROUGH, Lie.ROUGH)):
                left[codes == code] = expected.at(lie, x[codes == code], y[codes == code])
            best = min(best, 1 + left.mean())
    assert at(expected, Lie.FAIRWAY, np.array([x0]), np.array([y0]))[0] == pytest.approx(best, abs=0.03)


def test_uphill_a_hole_plays_longer() -> None:
    # A yard longer for each yard up (common practice, no source).
    course = straight_course()
    flat = at(solve_plain_hole(), Lie.FAIRWAY, np.zeros(1), np.array([PIN - 158 * YARD]))[0]
    spots = tuple(
        Spot(x, y, 8 * YARD * float(np.clip((y - PIN + 150 * YARD) / (100 * YARD), 0, 1)))
        for x in (-150.0, 0.0, 150.0)
        for y in np.linspace(-60, PIN + 160, 40)
    )
    hilly = solve(replace(course, spots=spots))
    up = at(hilly, Lie.FAIRWAY, np.zeros(1), np.array([PIN - 150 * YARD]))[0]
    level = at(solve_plain_hole(), Lie.FAIRWAY, np.zeros(1), np.array([PIN - 150 * YARD]))[0]
    assert up > level
    assert up == pytest.approx(flat, abs=0.03)


def test_a_stored_solution_is_the_same(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HOLESIM_CACHE", str(tmp_path))
    first = solve(straight_course(200, par=3)).grid.values
    (file,) = tmp_path.iterdir()
    written = file.stat().st_mtime_ns
    kept = solve(straight_course(200, par=3)).grid.values
    np.testing.assert_array_equal(kept, first)
    assert file.stat().st_mtime_ns == written
    # Other inputs have another file.
    solve(straight_course(200, par=3), DispersionSkill(1.1, 1.0))
    assert len(list(tmp_path.iterdir())) == 2
    # A damaged or short file is replaced.
    whole = file.read_bytes()
    for content in (whole[:-100], b"", whole[:500] + b"\x01" + whole[501:], b"no arrays"):
        file.write_bytes(content)
        np.testing.assert_array_equal(solve(straight_course(200, par=3)).grid.values, first)
        assert file.read_bytes() == whole


def solve_coarsely(course: Course, numbers: Sequence[int], *, step: float = 20.0) -> list[ExpectedStrokes]:
    """Return the solutions of some holes of a course on a coarse grid."""
    table = strokes_table.make_strokes_table(strokes_table.Skill(1.0, 1.0))
    shots, ground = club_dispersion(TOUR), map_ground(course)
    return [solve_hole(shots, table, course.holes[number - 1], ground, step=step) for number in numbers]


def test_a_moved_bunker_discards_the_holes_within_reach_of_it_and_no_others(
    demo_course: Course, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HOLESIM_CACHE", str(tmp_path / "kept"))
    numbers = range(1, 19)
    before = solve_coarsely(demo_course, numbers)
    kept = set((tmp_path / "kept").iterdir())
    assert len(kept) == len(numbers)
    index, bunker = next(
        (i, area)
        for i, area in enumerate(demo_course.areas)
        if area.ground is Ground.BUNKER and area.outline.distance(demo_course.holes[3].green) < 20
    )
    moved = replace(bunker, outline=translate(bunker.outline, 1.3, -0.8))
    areas = (*demo_course.areas[:index], moved, *demo_course.areas[index + 1 :])
    edited = replace(demo_course, areas=areas)
    after = solve_coarsely(edited, numbers)
    changed = shapely.union(bunker.outline, moved.outline)
    touched = [
        shapely.box(x[0], y[0], x[-1], y[-1]).buffer(1).intersects(changed)
        for x, y in (expected.axes for expected in before)
    ]
    assert touched[3]
    assert 1 < sum(touched) < 9
    assert len(set((tmp_path / "kept").iterdir()) - kept) == sum(touched)
    # What is read back is what is found afresh.
    monkeypatch.setenv("HOLESIM_CACHE", str(tmp_path / "empty"))
    for fresh, found in zip(solve_coarsely(edited, numbers), after, strict=True):
        np.testing.assert_array_equal(found.grid.values, fresh.grid.values)
    for old, new, near in zip(before, after, touched, strict=True):
        assert near or np.array_equal(old.grid.values, new.grid.values)


def test_what_lies_beyond_the_surroundings_of_a_hole_hardly_matters(
    demo_course: Course, monkeypatch: pytest.MonkeyPatch
) -> None:
    """On fairways: from rough and trees a ball may be dropped far back, onto another hole's fairway."""
    numbers = (4, 10, 15)
    ours = solve_coarsely(demo_course, numbers, step=10.0)
    # The whole map in place of the surroundings.
    monkeypatch.setattr(expected_strokes, "surroundings", lambda _, ground: ground)
    # The same course again, as what is known of a hole and a map is kept.
    theirs = solve_coarsely(replace(demo_course), numbers, step=10.0)
    changes = []
    for part, whole in zip(ours, theirs, strict=True):
        assert part.problem is not None
        assert whole.problem is not None
        assert part.problem.ground_digest != whole.problem.ground_digest
        states = part.problem.states
        x, y = part.axes
        ground = whole.problem.ground.at(x[states.columns], y[states.rows])
        fairway = (states.lies == Lie.FAIRWAY) & (ground == Ground.FAIRWAY)
        at_states = states.lies[fairway], states.rows[fairway], states.columns[fairway]
        changes.append(part.grid.values[at_states] - whole.grid.values[at_states])
    # The largest change found was a thousandth of this.
    assert np.abs(np.concatenate(changes)).max() < 0.001


def test_a_hole_is_solved_where_nothing_can_be_stored(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "a file").write_text("")
    monkeypatch.setenv("HOLESIM_CACHE", str(tmp_path / "a file" / "below"))
    solve(straight_course(200, par=3))
