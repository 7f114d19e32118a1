"""Compiled bounce and run: one ball after another over the ground map until it stops.

Knows only floats and arrays; `holesim.bounce` says where the numbers come from.
"""

from math import atan2, cos, pi, sin, sqrt

from numba import njit, prange

from holesim._ground_kernel import look_up

# Columns of the surface table, one row for each kind of ground.
RESTITUTION, FRICTION, GIVE, ROLLING, STOPS = range(5)

MAX_BOUNCES = 30
ROLL_STEP = 0.4  # m
HOP = 0.4  # m/s of rise below which a ball rolls
STAND_STILL = 0.05  # m/s


@njit(cache=True, error_model="numpy", inline="always")
def _restitution(speed):  # type: ignore[no-untyped-def]
    if speed >= 20.0:
        return 0.120
    return 0.510 - 0.0375 * speed + 0.000903 * speed * speed


@njit(cache=True, error_model="numpy", inline="always")
def _strike(vx, vy, vz, wx, wy, surface, radius):  # type: ignore[no-untyped-def]
    """Return velocity and the level components of spin after one bounce."""
    level = sqrt(vx * vx + vy * vy) + 1e-12
    hx, hy = vx / level, vy / level
    speed = sqrt(level * level + vz * vz)
    # The ball digs a crater whose far wall it leaves by: a slope against its travel, at most so steep that
    # the ball meets it square.
    lean = surface[GIVE] * 15.4 * (speed / 18.6) * (atan2(level, -vz) * 180.0 / pi / 44.4) * pi / 180.0
    lean = min(lean, atan2(level, -vz))
    s, c = sin(lean), cos(lean)
    into = level * s - vz * c  # speed into the leaning ground
    along = level * c + vz * s  # and along it, in the vertical plane of travel
    # Slip of the contact point, forward and to the right: velocity plus what the spin adds at the bottom.
    back = wx * hy - wy * hx  # backspin about the level axis square to travel
    roll = wx * hx + wy * hy  # spin about the direction of travel
    slip_f, slip_s = along + radius * back, -radius * roll
    slip = sqrt(slip_f * slip_f + slip_s * slip_s) + 1e-12
    out = surface[RESTITUTION] * _restitution(into) * into
    # Enough friction to roll takes 2/7 of the slip; otherwise the ball slides.
    bite = min(2.0 / 7.0, surface[FRICTION] * (into + out) / slip)
    along -= bite * slip_f
    side = -bite * slip_s
    back -= 2.5 * bite * slip_f / radius
    roll += 2.5 * bite * slip_s / radius
    forward, rise = along * c - out * s, along * s + out * c
    return (
        forward * hx + side * hy,
        forward * hy - side * hx,
        rise,
        back * hy + roll * hx,
        -back * hx + roll * hy,
    )


@njit(cache=True, error_model="numpy", parallel=True)
def run(x, y, vx, vy, vz, spin, tilt, grid, surfaces, radius, gravity, rest):  # type: ignore[no-untyped-def]
    """Fill `rest` (drives, 3) with x, y and ground where each ball stops."""
    for i in prange(len(x)):
        px, py = x[i], y[i]
        ux, uy, uz = vx[i], vy[i], vz[i]
        level = sqrt(ux * ux + uy * uy) + 1e-12
        hx, hy = ux / level, uy / level
        # Backspin about the level axis to the right of travel, sidespin as a lean of that axis.
        back, side = spin[i] * cos(tilt[i]), spin[i] * sin(tilt[i])
        # Only the part of the sidespin about the line of travel acts on level ground as it lands.
        down = -uz / sqrt(level * level + uz * uz)
        roll = -side * down
        wx, wy = back * hy + roll * hx, -back * hx + roll * hy
        ground = look_up(px, py, grid)
        for _ in range(MAX_BOUNCES):
            if surfaces[ground, STOPS] > 0.0:
                break
            ux, uy, uz, wx, wy = _strike(ux, uy, uz, wx, wy, surfaces[ground], radius)
            if uz < HOP:
                break
            # The hop is low and short: gravity alone. A hazard met on its way down is where it ends.
            time = 2.0 * uz / gravity
            px += ux * time
            py += uy * time
            uz = -uz
            ground = look_up(px, py, grid)
        speed = sqrt(ux * ux + uy * uy)
        while surfaces[ground, STOPS] == 0.0 and speed > STAND_STILL:
            loss = surfaces[ground, ROLLING] * gravity
            reach = speed * speed / (2.0 * loss)
            part = min(reach, ROLL_STEP)
            px += ux / speed * part
            py += uy / speed * part
            left = sqrt(max(speed * speed - 2.0 * loss * part, 0.0))
            ux, uy = ux * left / speed, uy * left / speed
            speed = left
            ground = look_up(px, py, grid)
        rest[i, 0], rest[i, 1], rest[i, 2] = px, py, ground
