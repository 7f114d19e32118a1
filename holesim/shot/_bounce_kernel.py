"""Compiled bounce and run: blocks of balls over the ground map, until each has stopped.

Knows only floats and arrays; `holesim.shot.bounce` says where the numbers come from. Arithmetic runs over a
whole block without branches. The look-ups in between go ball by ball and close the gaps that stopped balls
leave.
"""

from math import pi, sqrt

import numpy as np

from holesim.common._simd_kernel import entry, exp2, inline, log2, part, single, whole
from holesim.course._ground_map_kernel import incline, survey, turf

# Columns of the surface table, one row for each kind of ground, and all of them for each firmness.
RESTITUTION, FRICTION, GIVE, ROLLING, STOPS = range(5)
GROUNDS = 10

LEAN = single(15.4 / (18.6 * 44.4))  # rad of lean for each m/s and each radian of the path from the vertical
GRAZE2 = single(
    (11.0 * pi / 180.0) ** 2
)  # rad², of the angle below which the crater is too shallow to lean in
REBOUND = single(0.3)  # largest share of its speed of descent that a grazing ball keeps
HOP_DRAG = single(0.0046)  # 1/m; drag of a ball without spin, over its mass and the square of its speed
GRASS2 = single(7.0**2)  # (m/s)² at which the drag of the grass equals rolling resistance
HOP = single(0.4)  # m/s of rise below which a ball no longer clears the grass
STAND_STILL2 = single(0.05**2)  # (m/s)²
EDGE_STEP = single(0.4)  # m of roll between look-ups where an outline passes
TURN = single(0.1)  # rad that a slope may turn a ball between look-ups
SAME_SLOPE = single(8)  # m of roll for which one slope is taken, where the ground is not even

MAX_BOUNCES = 30
MAX_ROLLS = 2000

LANES = 256  # balls to a block
# Rows of a block: place, velocity, level spin, the surface under the ball, the distance to the next outline,
# the slope of the ground to the east and to the north, and the speed of rise after a bounce.
(
    X, Y, VX, VY, VZ, WX, WY, _RESTITUTION, _FRICTION, _GIVE, _ROLLING, _CLEARANCE, _EAST, _NORTH, RISE,
) = (LANES * row for row in range(15))  # fmt: skip
ROWS = 15
ROOM, INTEGERS = (2 * ROWS + 2) * LANES, 3 * LANES

_NOUGHT, _QUARTER, _ONE, _TWO = single(0), single(0.25), single(1), single(2)
_TINY = single(1e-12)
_RIGHT = single(pi / 2)
_BITE = single(2 / 7)
_LOG2E, _LN2 = single(1.442695041), single(0.6931471806)


@inline
def _descent(down, level):  # type: ignore[no-untyped-def]
    """Return atan2(down, level) for level >= 0, within 1e-5 rad."""
    a = abs(down)
    t = min(a, level) / max(a, level, _TINY)
    q = t * t
    p = (single(0.0208351) * q - single(0.0851330)) * q + single(0.1801410)
    angle = t * ((p * q - single(0.3302995)) * q + single(0.9998660))
    angle = _RIGHT - angle if a > level else angle
    return angle if down > _NOUGHT else -angle


@inline
def kick(level, vz, back, roll, restitution, friction, give, radius):  # type: ignore[no-untyped-def]
    """Return the velocity after a bounce off level ground (forward, right and up), and the two spins.

    `level` and `vz` are the velocity before it. `back` is the spin about the level axis square to the travel,
    `roll` the spin about the direction of travel.
    """
    speed = sqrt(level * level + vz * vz)
    # The ball digs a crater and leaves off its far wall: a slope that faces it.
    descent = _descent(-vz, level)
    lean = give * LEAN * speed * (_RIGHT - descent)
    # A smooth limit for shallow craters; and the wall never leans past square to the path.
    q = min(lean * GRAZE2 / (descent * descent * abs(descent) + _TINY), single(1e4))
    q *= q
    lean = min(lean / sqrt(sqrt(_ONE + q * q)), _RIGHT - descent)
    # Sine and cosine of an angle under a right one, to 2e-5.
    q = lean * lean
    s = lean * (((single(-1.83e-4) * q + single(8.3315e-3)) * q - single(0.16666650)) * q + _ONE)
    c = ((single(-1.29e-3) * q + single(4.16468e-2)) * q - single(0.49999)) * q + _ONE
    into = level * s - vz * c  # speed into the wall
    along = level * c + vz * s  # speed along it, in the vertical plane of travel
    # Slip of the contact point, forward and to the right: the velocity plus that of the spinning surface.
    slip_f, slip_s = along + radius * back, -radius * roll
    slip = sqrt(slip_f * slip_f + slip_s * slip_s) + _TINY
    penner = (single(0.000903) * into - single(0.0375)) * into + single(0.510)
    out = restitution * (penner if into < single(20) else single(0.120)) * into
    # Enough friction to roll takes 2/7 of the slip; otherwise the ball slides.
    bite = min(_BITE, friction * (into + out) / slip)
    along -= bite * slip_f
    back -= single(2.5) * bite * slip_f / radius
    roll += single(2.5) * bite * slip_s / radius
    most = REBOUND * (_ONE + descent * descent / GRAZE2) * -vz
    return along * c - out * s, -bite * slip_s, min(along * s + out * c, most), back, roll


@inline
def _strike(vx, vy, vz, wx, wy, restitution, friction, give, radius):  # type: ignore[no-untyped-def]
    """Return velocity and level spin, east and north, after one bounce off level ground."""
    level = sqrt(vx * vx + vy * vy) + _TINY
    hx, hy = vx / level, vy / level
    back, roll = wx * hy - wy * hx, wx * hx + wy * hy
    forward, side, rise, back, roll = kick(level, vz, back, roll, restitution, friction, give, radius)
    return (
        forward * hx + side * hy,
        forward * hy - side * hx,
        rise,
        back * hy + roll * hx,
        -back * hx + roll * hy,
    )


@inline
def leap(level, time):  # type: ignore[no-untyped-def]
    """Return the length of a hop over the level speed [s], and the share of the level speed that is left.

    A hop is low and short, so drag acts on the level speed alone.
    """
    slowing = HOP_DRAG * level * time
    # ln(1 + slowing)/slowing, as slowing is small.
    return time * (single(6) + slowing) / (single(6) + single(4) * slowing), _ONE / (_ONE + slowing)


@part
def hop(b, count, radius, gravity):  # type: ignore[no-untyped-def]
    """Bounce the balls of a block off the ground, and hop."""
    for j in range(count):
        vx, vy, vz = b[VX + j], b[VY + j], b[VZ + j]
        # The ground has slope `steep` along (ex, ey). Turn it level, bounce, and turn back.
        steep = sqrt(b[_EAST + j] * b[_EAST + j] + b[_NORTH + j] * b[_NORTH + j])
        ex, ey = (b[_EAST + j] + _TINY) / (steep + _TINY), b[_NORTH + j] / (steep + _TINY)
        c = _ONE / sqrt(_ONE + steep * steep)
        s = steep * c
        up, across = vx * ex + vy * ey, vy * ex - vx * ey
        up, normal = up * c + vz * s, vz * c - up * s
        vx, vy, vz, wx, wy = _strike(
            up * ex - across * ey, up * ey + across * ex, normal, b[WX + j], b[WY + j],
            b[_RESTITUTION + j], b[_FRICTION + j], b[_GIVE + j], radius,
        )  # fmt: skip
        up, across = vx * ex + vy * ey, vy * ex - vx * ey
        up, vz = up * c - vz * s, up * s + vz * c
        vx, vy = up * ex - across * ey, up * ey + across * ex
        rise = vz - steep * up
        # A hazard is where a hop ends.
        time = _TWO * rise / gravity if rise >= HOP else _NOUGHT
        level = sqrt(vx * vx + vy * vy)
        reach, kept = leap(level, time)
        b[X + j] += vx * reach
        b[Y + j] += vy * reach
        b[VX + j], b[VY + j], b[VZ + j] = vx * kept, vy * kept, vz - gravity * time
        b[WX + j], b[WY + j], b[RISE + j] = wx, wy, rise


@part
def roll(b, count, gravity):  # type: ignore[no-untyped-def]
    """Roll the balls of a block to where the ground may change, or until they stop."""
    for j in range(count):
        vx, vy, slope_x, slope_y = b[VX + j], b[VY + j], b[_EAST + j], b[_NORTH + j]
        steep2 = slope_x * slope_x + slope_y * slope_y
        v2 = vx * vx + vy * vy + _TINY
        speed = sqrt(v2)
        # d(v²)/ds = -2(a + b·v²): rolling resistance and slope, and the drag of the grass.
        resistance = b[_ROLLING + j] * gravity
        grass = resistance / GRASS2
        a = resistance + gravity * (slope_x * vx + slope_y * vy) / speed
        a = a if abs(a) > single(1e-4) else single(1e-4)
        ratio = a / grass
        stop = log2(_ONE + v2 / max(ratio, _TINY)) * _LN2 / (_TWO * grass)
        stop = stop if a > _NOUGHT else single(1e9)
        bend = TURN * v2 / (gravity * sqrt(steep2) + _TINY)
        part = min(stop, max(b[_CLEARANCE + j], EDGE_STEP), max(bend, EDGE_STEP))
        left2 = (v2 + ratio) * exp2(single(-2) * _LOG2E * grass * part) - ratio
        left = sqrt(max(left2, _NOUGHT)) if part < stop else _NOUGHT
        b[X + j] += vx / speed * part
        b[Y + j] += vy / speed * part
        # The slope across the travel turns the ball downhill.
        across = slope_x * vy - slope_y * vx
        mean2 = _QUARTER * (speed + left) * (speed + left)
        turn = gravity * across / speed * part / mean2
        tx, ty = vx - turn * vy, vy + turn * vx
        scale = left / sqrt(tx * tx + ty * ty + _TINY)
        b[VX + j], b[VY + j] = tx * scale, ty * scale


@inline
def load(b, j, x, y, vx, vy, vz, back):  # type: ignore[no-untyped-def]
    """Put a ball that lands with backspin `back` into place `j` of a block."""
    level = sqrt(vx * vx + vy * vy) + _TINY
    b[X + j], b[Y + j], b[VX + j], b[VY + j], b[VZ + j] = x, y, vx, vy, vz
    # The axis is level and to the right of the travel.
    b[WX + j], b[WY + j] = back * vy / level, -back * vx / level


@inline
def stand(b, k, code, clearance, grid, surfaces):  # type: ignore[no-untyped-def]
    """Store the ground under ball `k`."""
    x, y = b[X + k], b[Y + k]
    firmness = np.int32(grid.firmness[0, 0]) if grid.even else turf(x, y, grid)
    kind = np.uint32(code + GROUNDS * firmness)
    b[_RESTITUTION + k], b[_FRICTION + k] = surfaces[kind, RESTITUTION], surfaces[kind, FRICTION]
    b[_GIVE + k], b[_ROLLING + k], b[_CLEARANCE + k] = (
        surfaces[kind, GIVE],
        surfaces[kind, ROLLING],
        clearance,
    )
    b[_EAST + k], b[_NORTH + k] = _NOUGHT, _NOUGHT
    if not grid.even:
        _, b[_EAST + k], b[_NORTH + k] = incline(x, y, grid)
        b[_CLEARANCE + k] = min(clearance, SAME_SLOPE)


@inline
def move(source, j, into_block, k, order, order_to):  # type: ignore[no-untyped-def]
    """Move ball `j` of one block to place `k` of another."""
    for row in range(_RESTITUTION // LANES):
        into_block[row * LANES + k] = source[row * LANES + j]
    order_to[k] = order[j]


@part
def run_block(b, r, order, order_r, count, grid, surfaces, radius, gravity, finish, ground):  # type: ignore[no-untyped-def]
    """Run the first `count` balls of block `b` until they stop; `r` is working memory for balls that roll.

    Fills `finish` with the x of each ball and, `LANES` places later, its y, and `ground` with its ground.
    """
    moving, rolling = count, whole(0)
    for j in range(count):
        order[j] = j
    for bounce in range(MAX_BOUNCES + 1):
        if bounce > 0:
            hop(b, (moving + 7) // 8 * 8, radius, gravity)
        kept = whole(0)
        for j in range(moving):
            i = order[j]
            code, clearance = survey(b[X + j], b[Y + j], grid)
            if surfaces[code, STOPS] > _NOUGHT:
                finish[i], finish[LANES + i], ground[i] = b[X + j], b[Y + j], code
                continue
            if bounce > 0 and (b[RISE + j] < HOP or bounce == MAX_BOUNCES):
                move(b, j, r, rolling, order, order_r)
                stand(r, rolling, code, clearance, grid, surfaces)
                rolling += 1
                continue
            move(b, j, b, kept, order, order)
            stand(b, kept, code, clearance, grid, surfaces)
            kept += 1
        moving = kept
        if moving == 0:
            break
    for step in range(MAX_ROLLS):
        if rolling == 0:
            break
        roll(r, (rolling + 7) // 8 * 8, gravity)
        kept = whole(0)
        for j in range(rolling):
            i = order_r[j]
            code, clearance = survey(r[X + j], r[Y + j], grid)
            still = r[VX + j] * r[VX + j] + r[VY + j] * r[VY + j] <= STAND_STILL2
            if still or surfaces[code, STOPS] > _NOUGHT or step == MAX_ROLLS - 1:
                finish[i], finish[LANES + i], ground[i] = r[X + j], r[Y + j], code
            else:
                move(r, j, r, kept, order_r, order_r)
                stand(r, kept, code, clearance, grid, surfaces)
                kept += 1
        rolling = kept


@entry
def run(  # type: ignore[no-untyped-def]
    x, y, vx, vy, vz, back, grid, surfaces, radius, gravity, room, lanes, finish, ground
):  # fmt: skip
    """Fill `finish` (2, balls) with where each ball stops and `ground` with the ground there.

    `back` is the spin about the level axis to the right of the travel. `room` and `lanes` are working memory
    for `ROOM` floats and `INTEGERS` integers.
    """
    b, r, place = room[: ROWS * LANES], room[ROWS * LANES : 2 * ROWS * LANES], room[2 * ROWS * LANES :]
    order, order_r, code = lanes[:LANES], lanes[LANES : 2 * LANES], lanes[2 * LANES :]
    for at in range(0, len(x), LANES):
        count = min(LANES, len(x) - at)
        for j in range(count):
            i = at + j
            load(
                b, j, single(x[i]), single(y[i]), single(vx[i]), single(vy[i]), single(vz[i]), single(back[i])
            )
        run_block(b, r, order, order_r, count, grid, surfaces, radius, gravity, place, code)
        for j in range(count):
            finish[0, at + j], finish[1, at + j], ground[at + j] = place[j], place[LANES + j], code[j]
