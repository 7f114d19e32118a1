"""Compiled impulse and momentum of one ball on one face, in double precision.

Knows only floats and arrays; `holesim.shot.impact` says what they are.
"""

from math import asin, atan2, cos, hypot, sin, sqrt

from holesim.common._simd_kernel import kept, njit

compiled = njit(error_model="numpy")


@compiled
def _solve(k_tt, k_uu, k_tu, a, b):  # type: ignore[no-untyped-def]
    det = k_tt * k_uu - k_tu * k_tu
    return (k_uu * a - k_tu * b) / det, (k_tt * b - k_tu * a) / det


@compiled
def launch(swing, club, side):  # type: ignore[no-untyped-def]
    """Return speed, angle, direction, spin and tilt of a ball.

    `swing` holds club speed, attack, path, face, dynamic loft, toe and high; `club` is what
    `impact.club_row` returns.
    """
    speed, attack, path, face, loft, toe, high = swing
    mass, ball_mass, radius, restitution, g, b, i_u, i_t, i_n, bend_aside, bend_up = club
    y, z = side * toe, high
    # Bulge and roll turn the face outward where it is struck.
    face += y * bend_aside
    loft += z * bend_up
    sf, cf, sl, cl = sin(face), cos(face), sin(loft), cos(loft)
    ax, ay, az = cos(attack) * cos(path), cos(attack) * sin(path), sin(attack)
    v_n = speed * (ax * cl * cf + ay * cl * sf + az * sl)
    v_t = speed * (ay * cf - ax * sf)
    v_u = speed * (az * cl - (ax * cf + ay * sf) * sl)

    slide = 3.5 / ball_mass  # 1/m + r²/I of a solid sphere
    k_nn = 1 / ball_mass + 1 / mass + z * z / i_t + y * y / i_u
    k_tt = slide + 1 / mass + b * b / i_u + z * z / i_n
    k_uu = slide + 1 / mass + b * b / i_t + y * y / i_n
    k_nt, k_nu, k_tu = -b * y / i_u, -b * z / i_t, -y * z / i_n

    # The tangential impulse is linear in the normal one; solve for the normal one.
    t0, u0 = _solve(k_tt, k_uu, k_tu, v_t, v_u)
    t1, u1 = _solve(k_tt, k_uu, k_tu, -k_nt, -k_nu)
    j_n = ((1 + restitution) * v_n - g * (k_nt * t0 + k_nu * u0)) / (k_nn + g * (k_nt * t1 + k_nu * u1))
    j_t, j_u = g * (t0 + t1 * j_n), g * (u0 + u1 * j_n)

    # The tangential impulse, and the velocity, in the axes of the ground.
    tx, ty, tz = -j_t * sf - j_u * sl * cf, j_t * cf - j_u * sl * sf, j_u * cl
    vx, vy, vz = (
        (j_n * cl * cf + tx) / ball_mass,
        (j_n * cl * sf + ty) / ball_mass,
        (j_n * sl + tz) / ball_mass,
    )
    fast = sqrt(vx * vx + vy * vy + vz * vz)
    angle, direction = asin(vz / fast), atan2(vy, vx)
    spin = 2.5 * hypot(j_t, j_u) / (ball_mass * radius)
    # Lift points away from the tangential impulse, square to the velocity.
    sd, cd = sin(direction), cos(direction)
    right = ty * cd - tx * sd
    up = cos(angle) * tz - sin(angle) * (tx * cd + ty * sd)
    return fast, angle, direction, spin, atan2(-right, -up)


@kept(nogil=True, error_model="numpy")
def launch_all(swings, club, side, launches):  # type: ignore[no-untyped-def]
    """Fill `launches` (5, swings) with those of `swings` (7, swings)."""
    for i in range(swings.shape[1]):
        s = swings[:, i]
        found = launch((s[0], s[1], s[2], s[3], s[4], s[5], s[6]), club, side)
        for k in range(5):
            launches[k, i] = found[k]
