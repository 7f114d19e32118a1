"""Compiled flight: one drive after another through a fourth-order Runge-Kutta integration.

Knows only floats and arrays; `holesim.flight` gives them names, and says where the numbers come from.
"""

from math import cos, exp, log, sin, sqrt

from numba import njit, prange

# Indices into the coefficient vector that `flight` packs.
(
    DRAG_0, DRAG_1, LIFT_0, LIFT_1, LIFT_POWER, LEVEL_FROM, LEVEL_TO, ONSET, SMOOTH_DRAG, CRISIS, SPIN_DECAY,
) = range(11)  # fmt: skip
# Indices into the air vector.
DYNAMIC, WIND_X, WIND_Y, WIND_SCALE, ROUGHNESS, GRAVITY, RADIUS, REYNOLDS = range(8)

FIRST_STEPS = (0.005, 0.02, 0.06, 0.15)  # s; the wind profile is singular at the ground
STEP = 0.5  # s
LAST_STEP = 0.01  # s; the ground is approached by halves, as the wind near it needs
MAX_STEPS = 400


@njit(cache=True, error_model="numpy", inline="always")
def coefficients(ratio, reynolds, aero):  # type: ignore[no-untyped-def]
    """Return drag and lift coefficients at a spin ratio and a Reynolds number."""
    knee = aero[LEVEL_FROM]
    s = ratio
    if ratio > knee:
        room = aero[LEVEL_TO] - knee
        s = knee + room * (1.0 - exp(-(ratio - knee) / room))
    drag = aero[DRAG_0] + aero[DRAG_1] * s
    fade = min(s / aero[ONSET], 1.0)
    lift = aero[LIFT_0] * fade * (2.0 - fade)
    lift += aero[LIFT_1] * (s if aero[LIFT_POWER] == 1.0 else s ** aero[LIFT_POWER])
    # Below the crisis the boundary layer leaves the ball early: drag near a smooth sphere's, and no lift.
    q = reynolds / aero[CRISIS]
    q *= q
    early = 1.0 / (1.0 + q * q * q * q * q)
    return drag + (aero[SMOOTH_DRAG] - drag) * early, lift * (1.0 - early)


@njit(cache=True, error_model="numpy")
def coefficients_all(ratio, reynolds, aero, drag, lift):  # type: ignore[no-untyped-def]
    """Fill `drag` and `lift` with the coefficients of one ball at many spin ratios and Reynolds numbers."""
    for i in range(len(ratio)):
        drag[i], lift[i] = coefficients(ratio[i], reynolds[i], aero)


@njit(cache=True, error_model="numpy", inline="always")
def gust(z, air):  # type: ignore[no-untyped-def]
    """Return the wind at a height, as a share of that at the height it is stated for."""
    if air[WIND_SCALE] == 0.0 or z <= air[ROUGHNESS]:
        return 0.0
    return log(z / air[ROUGHNESS]) * air[WIND_SCALE]


@njit(cache=True, error_model="numpy", inline="always")
def _rates(z, vx, vy, vz, spin, axis, aero, air):  # type: ignore[no-untyped-def]
    wind = gust(z, air)
    ax, ay = vx - air[WIND_X] * wind, vy - air[WIND_Y] * wind
    level = sqrt(ax * ax + ay * ay) + 1e-12
    speed = sqrt(level * level + vz * vz)
    drag, lift = coefficients(spin * air[RADIUS] / speed, air[REYNOLDS] * speed, aero)
    k = air[DYNAMIC] * speed
    cos_tilt, sin_tilt, cos_launch, sin_launch = axis
    up = lift * cos_tilt  # along the upward normal of the airspeed
    # Along the level normal to its right, as far as the axis, which keeps its direction, is still square.
    right = lift * sin_tilt * (level * cos_launch + vz * sin_launch) / level
    fx = -k * (drag * ax + up * vz * ax / level + right * ay)
    fy = -k * (drag * ay + up * vz * ay / level - right * ax)
    fz = -k * (drag * vz - up * level) - air[GRAVITY]
    return fx, fy, fz, -aero[SPIN_DECAY] * speed / air[RADIUS] * spin


@njit(cache=True, error_model="numpy")
def _step(s, h, axis, aero, air):  # type: ignore[no-untyped-def]
    """Return the state (x, y, z, vx, vy, vz, spin) a time `h` later."""
    x, y, z, vx, vy, vz, w = s
    a1, b1, c1, w1 = _rates(z, vx, vy, vz, w, axis, aero, air)
    e = 0.5 * h
    a2, b2, c2, w2 = _rates(z + e * vz, vx + e * a1, vy + e * b1, vz + e * c1, w + e * w1, axis, aero, air)
    a3, b3, c3, w3 = _rates(
        z + e * vz + e * e * c1, vx + e * a2, vy + e * b2, vz + e * c2, w + e * w2, axis, aero, air
    )
    a4, b4, c4, w4 = _rates(
        z + h * vz + h * e * c2, vx + h * a3, vy + h * b3, vz + h * c3, w + h * w3, axis, aero, air
    )
    q = h / 6.0
    return (
        x + h * vx + h * q * (a1 + a2 + a3),
        y + h * vy + h * q * (b1 + b2 + b3),
        z + h * vz + h * q * (c1 + c2 + c3),
        vx + q * (a1 + 2 * a2 + 2 * a3 + a4),
        vy + q * (b1 + 2 * b2 + 2 * b3 + b4),
        vz + q * (c1 + 2 * c2 + 2 * c3 + c4),
        w + q * (w1 + 2 * w2 + 2 * w3 + w4),
    )


@njit(cache=True, error_model="numpy", parallel=True)
def fly(speed, angle, direction, spin, tilt, aero, air, landing, track):  # type: ignore[no-untyped-def]
    """Fly every drive from the ground to the ground.

    Fills `landing` (drives, 9) with x, y, vx, vy, vz, spin, time, apex, tilt, and `track` (drives, points, 3)
    with the way there, its unused points repeating the landing.
    """
    for i in prange(len(speed)):
        level = speed[i] * cos(angle[i])
        s = (
            0.0,
            0.0,
            0.0,
            level * cos(direction[i]),
            level * sin(direction[i]),
            speed[i] * sin(angle[i]),
            spin[i],
        )
        axis = (cos(tilt[i]), sin(tilt[i]), cos(angle[i]), sin(angle[i]))
        t, apex = 0.0, 0.0
        points = track.shape[1]
        k = 0
        for j in range(MAX_STEPS):
            h = FIRST_STEPS[j] if j < len(FIRST_STEPS) else STEP
            if s[5] < 0.0:
                h = min(h, max(LAST_STEP, 0.5 * s[2] / -s[5]))
            new = _step(s, h, axis, aero, air)
            if new[2] <= 0.0 and new[5] <= 0.0:
                # Newton's method on the length of the last step; the descent is close to straight there.
                for _ in range(3):
                    h -= new[2] / min(new[5], -1e-9)
                    h = max(h, 0.0)
                    new = _step(s, h, axis, aero, air)
                t += h
                s = new
                break
            if s[5] > 0.0 >= new[5]:
                # The apex lies inside this step, where the climb, near enough linear, runs out.
                part = h * s[5] / (s[5] - new[5])
                apex = _step(s, part, axis, aero, air)[2]
            t += h
            s = new
            if k < points - 1:
                track[i, k, 0], track[i, k, 1], track[i, k, 2] = s[0], s[1], s[2]
                k += 1
        for p in range(k, points):
            track[i, p, 0], track[i, p, 1], track[i, p, 2] = s[0], s[1], 0.0
        landing[i, 0], landing[i, 1] = s[0], s[1]
        landing[i, 2], landing[i, 3], landing[i, 4] = s[3], s[4], s[5]
        landing[i, 5], landing[i, 6], landing[i, 7], landing[i, 8] = s[6], t, apex, tilt[i]
