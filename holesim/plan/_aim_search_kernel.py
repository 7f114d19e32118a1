"""Compiled search: what a tee costs along each of many aims.

It puts the kernels of bounce and relief together over blocks of drives. All aims are done for a block before
the next block, so that a block stays in the processor's cache.
"""

from math import cos, pi, sin, sqrt
from typing import NamedTuple

import numpy as np

from holesim.common._simd_kernel import entry, exp2, inline, part, single
from holesim.course._ground_map_kernel import canopy, glance, incline, survey, turf
from holesim.plan._first_bounce_kernel import DESCENT, REACH, RUN, SPEED, SPIN, run_from
from holesim.shot._bounce_kernel import ROLLING, STOPS
from holesim.shot._flight_kernel import weigh
from holesim.shot._relief_kernel import (
    GREEN,
    HEAVY,
    LIE_BY_GROUND,
    OUT,
    RED,
    TREES,
    YELLOW,
    bounded,
    in_penalty,
    noted_drop,
    off_green,
    on_own_green,
)
from holesim.shot._strokes_grid_kernel import ON_FAIRWAY, strokes

LANES = 256  # drives to a block
# Rows of a block: place, direction of travel, how far the ball still goes, how far the ground is the same.
_X, _Y, _HX, _HY, _LEFT, _CLEAR = (np.uint32(LANES * row) for row in range(6))
# Rows for taking a ball back from its finish: least and greatest distance back to the edge that it crossed,
# distance back to the tee, and how much the path bends.
_NEAR, _FAR, _ALONG, _BEND = _LEFT, _CLEAR, np.uint32(LANES * 6), np.uint32(LANES * 7)
ROOM, INTEGERS = 8 * LANES, 4 * LANES
# Rows of how drives rise and fall: direction of the climb in bearings, its rise per metre, the loss of that
# rise per metre; the level speed, the speed of descent, and how fast the descent grows [m/s²].
_TOWARDS, _RISE, _SAG, _LEVEL, _DOWN, _BENDING = range(6)
BEARINGS = 2048  # around a tee
_NEAR_TREES = single(120)  # m from the tee; a climbing drive is above trees farther off
_LEAST_STEEP = single(0.02)
_HALF_BACK = single(0.65)
# Per unit of slope over rolling resistance: the binary logarithm of how much a run is lengthened, and how far
# it is turned aside. Both were fitted to runs of drives.
_ALONG_SLOPE, _ASIDE_SLOPE = single(1.1), single(0.9)
_STRIDE = single(2)  # m between look-ups where outlines pass
_HALVINGS = 3  # of a stride, to find an edge to a quarter of a metre
_NOUGHT, _HALF, _ONE, _TWO, _TINY = single(0), single(0.5), single(1), single(2), single(1e-12)


class Flown(NamedTuple):
    """A strike's drives, flown with the wind at several angles, and their first bounce on each kind.

    `ways` (angles, 4, drives) are place and direction of travel where they land on level ground, in the shot
    frame; `arcs` (angles, rows, drives) how they rise and fall; `hops` (angles, kinds, rows, drives) their
    first bounce on each of the `kinds` [ground], in the rows of `_first_bounce_kernel`. `nudges` (2, drives)
    are added to where they land [m]: without them an outline that follows the grid would be seen too far to
    one side by every drive. `ease` is the run on turf of each firmness over the run in `hops`.
    """

    ways: np.ndarray
    arcs: np.ndarray
    hops: np.ndarray
    kinds: np.ndarray
    nudges: np.ndarray
    ease: np.ndarray


class Around(NamedTuple):
    """The height of a tee [m], and the trees around it by bearing.

    Drives that rise by less than `steep` per metre fly into trees at (`x`, `y`), `away` m off.
    """

    height: np.float32
    steep: np.ndarray
    away: np.ndarray
    x: np.ndarray
    y: np.ndarray


@entry
def look_around(tee_x, tee_y, grid, around):  # type: ignore[no-untyped-def]
    """Fill the arrays of `around`, each of length `BEARINGS`."""
    for k in range(BEARINGS):
        angle = (single(k) + _HALF) * single(2 * pi / BEARINGS)
        east, north = sin(angle), cos(angle)
        around.steep[k], around.away[k] = single(-1), _NOUGHT
        hits, f = 0, _ONE
        while f < _NEAR_TREES:
            x, y = tee_x + f * east, tee_y + f * north
            code, clear = survey(x, y, grid)
            hits = hits + 1 if code == TREES else 0
            if hits > 1:
                top = canopy(x, y, grid) + incline(x, y, grid)[0] - around.height
                if top > around.steep[k] * f:
                    around.steep[k], around.away[k], around.x[k], around.y[k] = top / f, f, x, y
            f += _ONE if code == TREES else max(np.floor(clear), _ONE)


class Headings(NamedTuple):
    """Aims of a tee: their headings, and how each is interpolated between angles of the wind.

    Ways are the sum of those at several `angles`, each by its weight. Hops, which matter less, lie a share of
    the way from the angle `lower` to the angle `upper`. `towards` is the heading in bearings.
    """

    angles: np.ndarray
    weights: np.ndarray
    lower: np.ndarray
    upper: np.ndarray
    share: np.ndarray
    sine: np.ndarray
    cosine: np.ndarray
    towards: np.ndarray


@entry
def turn(headings, wind_from, to_weights, count, aims):  # type: ignore[no-untyped-def]
    """Fill the arrays of `aims` where drives are flown at `count` angles of the wind."""
    for a in range(len(headings)):
        heading = headings[a]
        place = weigh(heading, wind_from, to_weights, count, aims.angles[a], aims.weights[a])
        lower = np.int64(place)
        aims.lower[a], aims.upper[a], aims.share[a] = lower, (lower + 1) % count, place - lower
        aims.sine[a], aims.cosine[a] = sin(heading), cos(heading)
        aims.towards[a] = heading % (2 * pi) * (BEARINGS / (2 * pi))


@part
def aim_block(b, at, flown, aims, a, constants):  # type: ignore[no-untyped-def]
    """Fill block `b` with the drives from `at` on as they land along aim `a`, in the hole frame."""
    angles, weights = aims.angles[a], aims.weights[a]
    for row in range(4):
        values = flown.ways[angles[0], row, at : at + LANES]
        for j in range(LANES):
            b[row * LANES + j] = weights[0] * values[j]
        for tap in range(1, len(angles)):
            weight, values = weights[tap], flown.ways[angles[tap], row, at : at + LANES]
            for j in range(LANES):
                b[row * LANES + j] += weight * values[j]
    sine, cosine = aims.sine[a], aims.cosine[a]
    forward, aside = flown.nudges[0, at : at + LANES], flown.nudges[1, at : at + LANES]
    for j in range(LANES):
        along, right = b[_X + j] + forward[j], b[_Y + j] + aside[j]
        b[_X + j] = constants.tee_x + sine * along + cosine * right
        b[_Y + j] = constants.tee_y + cosine * along - sine * right
        along, right = b[_HX + j], b[_HY + j]
        b[_HX + j], b[_HY + j] = sine * along + cosine * right, cosine * along - sine * right


@part
def meet_block(b, at, flown, aims, a, around, listed, constants, grid):  # type: ignore[no-untyped-def]
    """Move drives of a block to where they meet ground above or below the tee, or fly into trees and drop.

    `listed` is room for the numbers of drives.
    """
    arcs = flown.arcs[aims.lower[a]]
    if not grid.even:
        for k in range(LANES):
            j, i = np.uint32(k), np.uint64(at + k)
            x, y, hx, hy = b[_X + j], b[_Y + j], b[_HX + j], b[_HY + j]
            down, bending = arcs[_DOWN, i], arcs[_BENDING, i]
            x, y = _fall(x, y, hx, hy, arcs[_LEVEL, i], down, bending, around.height, grid)
            b[_X + j], b[_Y + j] = x, y
    if grid.tallest == _NOUGHT:
        return
    # Loops are as in `run_block`: the list takes every drive, and keeps those near trees.
    kept = np.uint64(0)
    for k in range(LANES):
        j, i = np.uint32(k), np.uint64(at + k)
        x, y = b[_X + j], b[_Y + j]
        seen = np.uint64(np.int64(np.floor(aims.towards[a] + arcs[_TOWARDS, i])) & (BEARINGS - 1))
        low = arcs[_RISE, i] - arcs[_SAG, i] * around.away[seen] < around.steep[seen]
        # A drive lower than the tallest trees goes less than twice `half`, since its path bends down. So all
        # trees that it may meet are within `half` of the point half way back.
        half = _HALF_BACK * grid.tallest * arcs[_LEVEL, i] / max(arcs[_DOWN, i], _ONE)
        trees = canopy(x - half * b[_HX + j], y - half * b[_HY + j], grid)
        listed[kept] = j
        kept += np.uint64(low or -trees < half + _STRIDE)
    for k in range(kept):
        j = np.uint32(listed[np.uint32(k)])
        i = np.uint64(at + np.int64(j))
        dx, dy = b[_X + j] - constants.tee_x, b[_Y + j] - constants.tee_y
        seen = np.uint64(np.int64(np.floor(aims.towards[a] + arcs[_TOWARDS, i])) & (BEARINGS - 1))
        away = around.away[seen]
        if arcs[_RISE, i] - arcs[_SAG, i] * away < around.steep[seen] and away * away < dx * dx + dy * dy:
            b[_X + j], b[_Y + j] = around.x[seen], around.y[seen]
            b[_HX + j], b[_HY + j] = _NOUGHT, _NOUGHT
            continue
        _bend_back(b, j, dx, dy)
        reach = _into_trees(b, j, arcs[_LEVEL, i], arcs[_DOWN, i], arcs[_BENDING, i], grid)
        if reach > _NOUGHT:
            b[_X + j], b[_Y + j] = _back(b, j, reach)
            b[_HX + j], b[_HY + j] = _NOUGHT, _NOUGHT


@inline
def _fall(x, y, hx, hy, level, down, bending, base, grid):  # type: ignore[no-untyped-def]
    """Return where a drive meets the ground, on a parabola through where it lands on level ground."""
    reach = _NOUGHT
    for _ in range(3):
        height, east, north = incline(x + reach * hx, y + reach * hy, grid)
        time = reach / level
        above = -time * (down + _HALF * bending * time) - (height - base)
        steep = (down + bending * time) / level + east * hx + north * hy
        reach += above / max(steep, _LEAST_STEEP)
    return x + reach * hx, y + reach * hy


@inline
def _bend_back(b, j, dx, dy):  # type: ignore[no-untyped-def]
    """Store how far back along the travel the tee is, (dx, dy) away, and the bend of the path from it."""
    hx, hy = b[_HX + j], b[_HY + j]
    along = bounded(max(dx * hx + dy * hy, _STRIDE))
    b[_ALONG + j], b[_BEND + j] = along, (dy * hx - dx * hy) / (along * along)


@inline
def _back(b, j, way):  # type: ignore[no-untyped-def]
    """Return where a ball was, `way` before its finish, on the parabola from the tee."""
    hx, hy, aside = b[_HX + j], b[_HY + j], b[_BEND + j] * way * way
    return b[_X + j] - way * hx + aside * hy, b[_Y + j] - way * hy - aside * hx


@part
def _into_trees(b, j, level, down, bending, grid):  # type: ignore[no-untyped-def]
    """Return how far before its landing a drive flies into trees, or zero."""
    # From where it is as low as the tallest trees, or from its apex.
    time = (down - sqrt(max(down * down - _TWO * bending * grid.tallest, _NOUGHT))) / bending
    back, inside = bounded(time * level), False
    while back > _NOUGHT:
        x, y = _back(b, j, back)
        trees, time = canopy(x, y, grid), back / level
        # One look may meet a twig; a ball drops at the second look in a row that meets trees.
        low = time * (down - _HALF * bending * time) < trees
        if low and inside:
            return back
        inside = low
        back -= max(-trees, _ONE)
    return _NOUGHT


@part
def run_block(b, at, flown, aims, a, landed, ahead, ground, grid, surfaces, runs):  # type: ignore[no-untyped-def]
    """Run the balls of a block until they stop: a hop from where they land, then a run from the table.

    `b` and `ground` then hold where each stops and what is there. `landed` and `ahead` are room for what each
    landed on, and for the numbers of balls that may come to other ground.
    """
    # Loops are short and without branches: the list takes every ball, and the next overwrites one that does
    # not belong.
    low, high, share = flown.hops[aims.lower[a]], flown.hops[aims.upper[a]], aims.share[a]
    for k in range(LANES):
        j = np.uint32(k)
        i = np.uint64(at + k)
        x, y, hx, hy = b[_X + j], b[_Y + j], b[_HX + j], b[_HY + j]
        code, _ = glance(x, y, grid)
        c = np.uint32(flown.kinds[np.uint32(code)])
        landed[j] = code
        reach, left = low[c, REACH, i], low[c, RUN, i]
        reach += share * (high[c, REACH, i] - reach)
        left += share * (high[c, RUN, i] - left)
        b[_X + j], b[_Y + j], b[_LEFT + j] = x + hx * reach, y + hy * reach, abs(left)
        if left < _NOUGHT:
            b[_HX + j], b[_HY + j] = -hx, -hy
    kept = np.uint64(0)
    for k in range(LANES):
        j = np.uint32(k)
        here, clear = glance(b[_X + j], b[_Y + j], grid)
        ground[j] = here
        b[_CLEAR + j] = clear
        if np.uint32(here) != np.uint32(landed[j]):
            b[_LEFT + j] = _run_on_other(low, flown.kinds[np.uint32(landed[j])], at + k, here, surfaces, runs)
    if not grid.even:
        _lean(b, ground, surfaces, flown.ease, grid)
    for k in range(LANES):
        j = np.uint32(k)
        ahead[kept] = j
        kept += np.uint64(b[_LEFT + j] > b[_CLEAR + j])
    while kept > 0:
        kept = _run_on(b, low, flown.kinds, at, landed, ahead, kept, ground, grid, surfaces, runs)
    for lane in range(LANES):
        b[_X + lane] += b[_HX + lane] * b[_LEFT + lane]
        b[_Y + lane] += b[_HY + lane] * b[_LEFT + lane]


@inline
def _run_on_other(hops, kind, i, ground, surfaces, runs):  # type: ignore[no-untyped-def]
    """Return how far drive `i` runs on some ground after a hop from ground of a kind."""
    if surfaces[np.uint32(ground), STOPS] > _NOUGHT:
        return _NOUGHT
    rows, i = hops[np.uint32(kind)], np.uint64(i)
    return run_from(rows[SPEED, i], rows[DESCENT, i], rows[SPIN, i], ground, runs)


@part
def _lean(b, ground, surfaces, ease, grid):  # type: ignore[no-untyped-def]
    """Stretch and turn the runs of a block as the slope and turf where they begin would."""
    for k in range(LANES):
        j = np.uint32(k)
        hx, hy, x, y = b[_HX + j], b[_HY + j], b[_X + j], b[_Y + j]
        _, east, north = incline(x, y, grid)
        down = -_ONE / surfaces[np.uint32(ground[j]), ROLLING]
        left = b[_LEFT + j] * ease[turf(x, y, grid)] + _TINY
        along = left * exp2(min(_ALONG_SLOPE * down * (east * hx + north * hy), _ONE))
        aside = left * _ASIDE_SLOPE * down * (north * hx - east * hy)
        left = sqrt(along * along + aside * aside)
        b[_HX + j], b[_HY + j] = (hx * along - hy * aside) / left, (hy * along + hx * aside) / left
        b[_LEFT + j] = left


@part
def _run_on(b, hops, kinds, at, landed, ahead, count, ground, grid, surfaces, runs):  # type: ignore[no-untyped-def]
    """Run the balls on the list `ahead` to where the ground may change; return how many stay on the list.

    Where the ground changes, the share of the run that is left stays the same, now of the run on the new
    ground. That is exact where resistance does not depend on speed.
    """
    kept = np.uint64(0)
    for k in range(count):
        j = np.uint32(ahead[np.uint32(k)])
        left, hx, hy, code = b[_LEFT + j], b[_HX + j], b[_HY + j], np.uint32(ground[j])
        step = min(max(b[_CLEAR + j], _STRIDE), left)
        x, y = b[_X + j] + hx * step, b[_Y + j] + hy * step
        here, clear = glance(x, y, grid)
        left -= step
        if np.uint32(here) != code:
            ground[j] = here
            kind = kinds[np.uint32(landed[j])]
            other = _run_on_other(hops, kind, at + np.int64(j), here, surfaces, runs)
            if other > _NOUGHT:
                # On average the ground changed half a stride before.
                back = _HALF * min(step, _STRIDE)
                x, y, left = x - hx * back, y - hy * back, left + back
                other /= _run_on_other(hops, kind, at + np.int64(j), code, surfaces, runs)
            left *= other
        b[_X + j], b[_Y + j], b[_LEFT + j], b[_CLEAR + j] = x, y, left, clear
        ahead[kept] = j
        kept += np.uint64(left > clear)
    return kept


@inline
def _within(code, out):  # type: ignore[no-untyped-def]
    """Return whether a ball must still be taken back: it is `out`, or else in a penalty area."""
    return (code == OUT) if out else in_penalty(code)


@part
def _take_back(b, wet, count, ground, constants, grid):  # type: ignore[no-untyped-def]
    """Move the balls on the list `wet` back to where they last crossed the edge of what they are in."""
    for k in range(count):
        j = np.uint32(wet[np.uint32(k)])
        _bend_back(b, j, b[_X + j] - constants.tee_x, b[_Y + j] - constants.tee_y)
        b[_NEAR + j], b[_FAR + j] = _NOUGHT, _STRIDE
    active, kept = wet[count:], count
    for k in range(count):
        active[np.uint32(k)] = wet[np.uint32(k)]
    while kept > 0:
        moving, kept = kept, np.uint64(0)
        for k in range(moving):
            j = np.uint32(active[np.uint32(k)])
            far = b[_FAR + j]
            x, y = _back(b, j, far)
            code, clear = glance(x, y, grid)
            active[kept] = j
            if _within(code, ground[j] == OUT) and far < b[_ALONG + j]:
                b[_NEAR + j], b[_FAR + j] = far, min(far + max(clear, _STRIDE), b[_ALONG + j])
                kept += np.uint64(1)
    for _ in range(_HALVINGS):
        for k in range(count):
            j = np.uint32(wet[np.uint32(k)])
            near, far = b[_NEAR + j], b[_FAR + j]
            middle = _HALF * (near + far)
            x, y = _back(b, j, middle)
            code, _ = glance(x, y, grid)
            within = _within(code, ground[j] == OUT)
            b[_NEAR + j], b[_FAR + j] = middle if within else near, far if within else middle
    for k in range(count):
        j = np.uint32(wet[np.uint32(k)])
        b[_X + j], b[_Y + j] = _back(b, j, _HALF * (b[_NEAR + j] + b[_FAR + j]))


class Bill(NamedTuple):
    """What each aim costs so far: the sum of `known` costs, and how many drives are `replayed`.

    For `counts` more drives the golfer takes the cheaper of a replay and `choices` [aim, 0]; each counts as
    the share `choices` [aim, 1] of a drive.
    """

    known: np.ndarray
    replayed: np.ndarray
    counts: np.ndarray
    choices: np.ndarray


@inline
def _offer(bill, a, cost, share):  # type: ignore[no-untyped-def]
    """Note that the golfer chooses between a cost and a replay, for a share of a drive."""
    m = bill.counts[a]
    bill.choices[a, 0, m], bill.choices[a, 1, m] = cost, share
    bill.counts[a] = m + 1


@part
def score_block(b, wet, ground, a, constants, grid, drop_cache, bill):  # type: ignore[no-untyped-def]
    """Bill what the drives of a block cost along aim `a`; `wet` is room for the numbers of two blocks."""
    known, replayed, count = 0.0, 0.0, np.uint64(0)
    for k in range(LANES):
        j = np.uint32(k)
        x, y, code = b[_X + j], b[_Y + j], ground[j]
        if code == GREEN and not on_own_green(x, y, constants):
            x, y, code = off_green(x, y, constants, grid)
        if code <= YELLOW:  # or out
            if code != OUT or constants.drop_out:
                wet[count] = j
                count += np.uint64(1)
            else:
                replayed += 1.0
            continue
        cost = _ONE + strokes(LIE_BY_GROUND[code], x, y, constants.expected)
        if code != TREES and code != HEAVY:
            known += cost
            continue
        lost = constants.lost_in_trees if code == TREES else constants.lost_in_heavy
        known += (1.0 - lost) * cost
        if constants.drop_out:
            _offer(bill, a, single(3) + strokes(ON_FAIRWAY, x, y, constants.expected), single(lost))
        else:
            replayed += lost
    _take_back(b, wet, count, ground, constants, grid)
    for k in range(count):
        j = np.uint32(wet[np.uint32(k)])
        x, y, code = b[_X + j], b[_Y + j], ground[j]
        if code == OUT:
            cost = single(3) + strokes(ON_FAIRWAY, x, y, constants.expected)
        else:
            cost = _TWO + noted_drop(x, y, code == RED, constants, grid, drop_cache)
        _offer(bill, a, cost, _ONE)
    bill.known[a] += known
    bill.replayed[a] += replayed


@part
def _expected(bill, a, drives):  # type: ignore[no-untyped-def]
    """Return a tee's expected strokes along aim `a`, with replays as in `score_drives`."""
    expected = 4.0
    for _ in range(60):
        again = 2.0 + expected
        cost, replayed = bill.known[a], bill.replayed[a]
        for i in range(bill.counts[a]):
            chosen, share = float(bill.choices[a, 0, i]), float(bill.choices[a, 1, i])
            if chosen > again:
                replayed += share
            else:
                cost += share * chosen
        left = 1.0 - replayed / drives
        if left <= 0.0:
            return np.inf
        step = ((cost + replayed * again) / drives - expected) / left
        expected += step
        if abs(step) < 1e-9:
            break
    return expected


@entry
def search(flown, aims, around, constants, grid, surfaces, runs, drop_cache, b, lanes, bill, expected):  # type: ignore[no-untyped-def]
    """Fill `expected` with the tee's expected strokes along each aim.

    `b` and `lanes` are room for `ROOM` numbers and `INTEGERS` integers; `bill` need not be blank.
    """
    drives = flown.ways.shape[2]
    bill.known[:], bill.replayed[:], bill.counts[:] = 0.0, 0.0, 0
    landed, ground, listed = lanes[:LANES], lanes[LANES : 2 * LANES], lanes[2 * LANES :]
    for at in range(0, drives, LANES):
        for a in range(len(expected)):
            aim_block(b, at, flown, aims, a, constants)
            meet_block(b, at, flown, aims, a, around, listed, constants, grid)
            run_block(b, at, flown, aims, a, landed, listed, ground, grid, surfaces, runs)
            score_block(b, listed, ground, a, constants, grid, drop_cache, bill)
    for a in range(len(expected)):
        expected[a] = _expected(bill, a, drives)
