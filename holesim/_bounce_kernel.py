"""Compiled bounce and run: one ball after another over the ground map until it stops.

Knows only floats and arrays; `holesim.bounce` says where the numbers come from.
"""

from math import atan2, cos, hypot, log1p, pi, sin, sqrt

from numba import njit, prange

from holesim._ground_kernel import look_up

# Columns of the surface table, one row for each kind of ground.
RESTITUTION, FRICTION, GIVE, ROLLING, STOPS = range(5)

LEAN = 15.4 / (18.6 * 44.4)  # radians of lean for each m/s and each radian from the vertical
GRAZE = 11.0 * pi / 180.0  # below it the crater has less depth to lean in
REBOUND = 0.3  # of its speed of descent, the most that a grazing ball keeps
HOP_DRAG = 0.0046  # 1/m; drag of a ball without spin, over its mass and the square of its speed
GRASS = 7.0  # m/s at which the drag of the grass is as much as rolling resistance

MAX_BOUNCES = 30
MAX_ROLL = 2000  # steps
ROLL_STEP = 0.4  # m
HOP = 0.4  # m/s of rise below which a ball no longer clears the grass
STAND_STILL = 0.05  # m/s


@njit(cache=True, error_model="numpy", inline="always")
def _restitution(speed):  # type: ignore[no-untyped-def]
    if speed >= 20.0:
        return 0.120
    return 0.510 - 0.0375 * speed + 0.000903 * speed * speed


@njit(cache=True, error_model="numpy", inline="always")
def _strike(vx, vy, vz, wx, wy, surface, radius):  # type: ignore[no-untyped-def]
    """Return velocity and the level components of spin after one bounce off level ground."""
    level = hypot(vx, vy) + 1e-12
    hx, hy = vx / level, vy / level
    speed = sqrt(level * level + vz * vz)
    # The ball digs a crater whose far wall it leaves by: a slope against its travel.
    descent = atan2(-vz, level)
    lean = surface[GIVE] * LEAN * speed * (0.5 * pi - descent)
    # Smoothly at most what a shallow crater has room for, and never past meeting the ball square.
    lean /= (1.0 + (lean * GRAZE**2 / (descent**3 + 1e-12)) ** 4) ** 0.25
    lean = min(lean, 0.5 * pi - descent)
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
    most = REBOUND * (1.0 + (descent / GRAZE) ** 2) * -vz
    forward, rise = along * c - out * s, min(along * s + out * c, most)
    return (
        forward * hx + side * hy,
        forward * hy - side * hx,
        rise,
        back * hy + roll * hx,
        -back * hx + roll * hy,
    )


@njit(cache=True, error_model="numpy", inline="always")
def _strike_slope(vx, vy, vz, wx, wy, slope_x, slope_y, surface, radius):  # type: ignore[no-untyped-def]
    """Return the same off ground that rises by `slope_x` and `slope_y` a metre: turned level and back."""
    steep = hypot(slope_x, slope_y)
    if steep == 0.0:
        return _strike(vx, vy, vz, wx, wy, surface, radius)
    ex, ey = slope_x / steep, slope_y / steep  # straight uphill
    c = 1.0 / sqrt(1.0 + steep * steep)
    s = steep * c
    up = vx * ex + vy * ey
    across = vy * ex - vx * ey
    upward, normal = up * c + vz * s, vz * c - up * s
    vx, vy, vz, wx, wy = _strike(
        upward * ex - across * ey, upward * ey + across * ex, normal, wx, wy, surface, radius
    )
    upward, across = vx * ex + vy * ey, vy * ex - vx * ey
    up, rise = upward * c - vz * s, upward * s + vz * c
    return up * ex - across * ey, up * ey + across * ex, rise, wx, wy


@njit(cache=True, error_model="numpy", parallel=True)
def run(x, y, vx, vy, vz, spin, tilt, slope, grid, surfaces, radius, gravity, rest):  # type: ignore[no-untyped-def]
    """Fill `rest` (drives, 3) with x, y and ground where each ball stops."""
    gx, gy = slope
    for i in prange(len(x)):
        px, py = x[i], y[i]
        ux, uy, uz = vx[i], vy[i], vz[i]
        level = hypot(ux, uy) + 1e-12
        # The axis has kept its direction since the launch, so what sidespin there is turns the ball about
        # the vertical, where it rubs nothing. Backspin's axis is level and to the right of travel.
        back = spin[i] * cos(tilt[i])
        wx, wy = back * uy / level, -back * ux / level
        ground = look_up(px, py, grid)
        for _ in range(MAX_BOUNCES):
            if surfaces[ground, STOPS] > 0.0:
                break
            ux, uy, uz, wx, wy = _strike_slope(ux, uy, uz, wx, wy, gx, gy, surfaces[ground], radius)
            rise = uz - gx * ux - gy * uy
            if rise < HOP:
                break
            # A hop is low and short: drag takes from its level speed alone. A hazard is where it ends.
            time = 2.0 * rise / gravity
            slowing = HOP_DRAG * hypot(ux, uy) * time
            reach = time * log1p(slowing) / (slowing + 1e-12)
            px += ux * reach
            py += uy * reach
            ux, uy, uz = ux / (1.0 + slowing), uy / (1.0 + slowing), uz - gravity * time
            ground = look_up(px, py, grid)
        for _ in range(MAX_ROLL):
            speed = hypot(ux, uy)
            if surfaces[ground, STOPS] > 0.0 or speed <= STAND_STILL:
                break
            loss = surfaces[ground, ROLLING] * gravity * (1.0 + (speed / GRASS) ** 2)
            ax, ay = -loss * ux / speed - gravity * gx, -loss * uy / speed - gravity * gy
            gain = (ax * ux + ay * uy) / speed
            part = ROLL_STEP if gain >= 0.0 else min(ROLL_STEP, speed * speed / (-2.0 * gain))
            px += ux / speed * part
            py += uy / speed * part
            left = sqrt(max(speed * speed + 2.0 * gain * part, 0.0))
            # The slope also turns the ball downhill.
            time = 2.0 * part / (speed + left)
            tx, ty = ux + ax * time, uy + ay * time
            turned = hypot(tx, ty) + 1e-12
            ux, uy = tx / turned * left, ty / turned * left
            ground = look_up(px, py, grid)
        rest[i, 0], rest[i, 1], rest[i, 2] = px, py, ground
