"""Compiled flight: blocks of drives integrated together, to fourth order and without branches.

Knows only floats and arrays; `holesim.shot.flight` gives them names and says where the numbers come from.
Every drive takes the same number of steps, each a share of its own remaining time, so that no drive waits for
another.
"""

from math import cos, floor, pi, sin, sqrt

import numpy as np

from holesim.common._simd_kernel import entry, exp2, inline, log2, part, single

# Indices into the coefficients that `flight` packs.
(
    DRAG_0, DRAG_1, LIFT_0, LIFT_1, LIFT_POWER, LEVEL_FROM, LEVEL_ROOM, ONSET, SMOOTH_DRAG, CRISIS,
    SPIN_DECAY, DYNAMIC, WIND_X, WIND_Y, ROUGHNESS, GRAVITY, RADIUS,
) = range(17)  # fmt: skip

# Each step is a share of the remaining time, estimated from the present acceleration; the first steps have
# upper limits in seconds. The wind profile is singular at the ground, so steps are short near it. The numbers
# were searched for the least error of landings in winds up to 40 mph.
FIRST_STEPS = (0.011, 0.036, 0.078, 0.14, 0.25)
FIRST_SHARE = 0.3
SHARES = (
    0.047, 0.043, 0.068, 0.066, 0.063, 0.078, 0.1, 0.14, 0.16, 0.19, 0.27, 0.41, 0.5, 0.84, 0.947, 1.0,
)  # fmt: skip
POINTS = len(SHARES)  # of a track: the ends of these steps, the last at the landing

LANES = 128  # drives to a block, at most
_ABREAST = 32  # of them side by side: where fewer fly, copies of the last fill up so many
START = 7  # rows of a start, as `start_of` has them
LANDING = 8  # rows of a landing: x, y, vx, vy, vz, spin, time, apex

_NOUGHT, _HALF, _ONE, _TWO = single(0), single(0.5), single(1), single(2)
_MOST_LIFT = single(0.75)
_SIXTH, _TINY = single(1 / 6), single(1e-12)


# Rows of a block: state, time and apex; the planes of the spin, as in `start_of`; state and airspeed of a
# stage; the step [s] and its increments; the height of the ground below the landing, the time left until
# then, and 1 while the drive is up, else 0.
(
    X, Y, Z, VX, VY, VZ, SPIN, TIME, APEX, _XY, _XZ, _YZ,
    _SZ, _SVX, _SVY, _SVZ, _SSPIN, _WIND, _SPEED, _RATIO, _DRAG, _LIFT,
    STEP, _DX, _DY, _DZ, _DVX, _DVY, _DVZ, _DSPIN, FLOOR, LEFT, UP,
) = (LANES * row for row in range(33))  # fmt: skip
ROOM = 33 * LANES


@inline
def _coefficients(ratio, speed, power, law):  # type: ignore[no-untyped-def]
    """Return drag and lift coefficients at a spin ratio and a speed; `power` is that of the ratio."""
    fade = min(ratio / law[ONSET], _ONE)
    drag = law[DRAG_0] + law[DRAG_1] * ratio
    lift = law[LIFT_0] * fade * (_TWO - fade) + law[LIFT_1] * power
    # Below the crisis the boundary layer leaves the ball early: drag near a smooth sphere's, and no lift.
    q = min(speed / law[CRISIS], single(64))
    q2 = q * q
    q4 = q2 * q2
    early = _ONE / (_ONE + q4 * q4 * q2)
    return drag + (law[SMOOTH_DRAG] - drag) * early, lift * (_ONE - early)


@inline
def _levelled(ratio, law):  # type: ignore[no-untyped-def]
    """Return the spin ratio with its levelling off."""
    over = max(ratio - law[LEVEL_FROM], _NOUGHT) / law[LEVEL_ROOM]
    return min(ratio, law[LEVEL_FROM]) + law[LEVEL_ROOM] * (_ONE - exp2(over * single(-1.44269504)))


@part
def coefficients(b, lanes, law):  # type: ignore[no-untyped-def]
    """Fill in drag and lift of a block from its spin ratios and speeds."""
    if law[LIFT_POWER] == _ONE:
        for j in range(lanes):
            s = _levelled(b[_RATIO + j], law)
            b[_DRAG + j], b[_LIFT + j] = _coefficients(s, b[_SPEED + j], s, law)
    else:
        for j in range(lanes):
            s = _levelled(b[_RATIO + j], law)
            power = exp2(law[LIFT_POWER] * log2(s + _TINY))
            b[_DRAG + j], b[_LIFT + j] = _coefficients(s, b[_SPEED + j], power, law)


@part
def _meet_air(b, lanes, law):  # type: ignore[no-untyped-def]
    """Fill in wind, airspeed, drag and lift at a stage. Short loops let the processor overlap iterations."""
    for j in range(lanes):
        b[_WIND + j] = log2(max(b[_SZ + j] / law[ROUGHNESS], _ONE))
    for j in range(lanes):
        ax, ay = b[_SVX + j] - law[WIND_X] * b[_WIND + j], b[_SVY + j] - law[WIND_Y] * b[_WIND + j]
        speed = sqrt(ax * ax + ay * ay + b[_SVZ + j] * b[_SVZ + j] + _TINY)
        b[_SPEED + j], b[_RATIO + j] = speed, b[_SSPIN + j] * law[RADIUS] / speed
    coefficients(b, lanes, law)


@inline
def _rates(b, j, law):  # type: ignore[no-untyped-def]
    """Return the rates of velocity and spin at a stage."""
    ax, ay = b[_SVX + j] - law[WIND_X] * b[_WIND + j], b[_SVY + j] - law[WIND_Y] * b[_WIND + j]
    vz, speed = b[_SVZ + j], b[_SPEED + j]
    xy, xz, yz = b[_XY + j], b[_XZ + j], b[_YZ + j]
    k = law[DYNAMIC] * speed
    drag, lift = k * b[_DRAG + j], k * b[_LIFT + j]
    return (
        -drag * ax - lift * (xy * ay + xz * vz),
        lift * (xy * ax - yz * vz) - drag * ay,
        lift * (xz * ax + yz * ay) - drag * vz - law[GRAVITY],
        -law[SPIN_DECAY] * speed * b[_SSPIN + j],
    )


@inline
def _go(b, j, h, ax, ay, az, decay):  # type: ignore[no-untyped-def]
    """Set the next stage, a time `h` into the step, from the rates of this one."""
    b[_SZ + j] = b[Z + j] + h * b[_SVZ + j]
    b[_SVX + j] = b[VX + j] + h * ax
    b[_SVY + j] = b[VY + j] + h * ay
    b[_SVZ + j] = b[VZ + j] + h * az
    b[_SSPIN + j] = b[SPIN + j] + h * decay


@inline
def _depart(b, j, h, ax, ay, az, decay):  # type: ignore[no-untyped-def]
    """Begin a step of length `h` with the rates at the drive's present state."""
    b[STEP + j] = h
    b[_DX + j], b[_DY + j], b[_DZ + j] = b[VX + j], b[VY + j], b[VZ + j]
    b[_DVX + j], b[_DVY + j], b[_DVZ + j], b[_DSPIN + j] = ax, ay, az, decay
    _go(b, j, _HALF * h, ax, ay, az, decay)


@part
def _stand(b, lanes, law):  # type: ignore[no-untyped-def]
    """Make each drive's present state the first stage of a step."""
    for j in range(lanes):
        b[_SZ + j], b[_SVX + j], b[_SVY + j] = b[Z + j], b[VX + j], b[VY + j]
        b[_SVZ + j], b[_SSPIN + j] = b[VZ + j], b[SPIN + j]
    _meet_air(b, lanes, law)


@part
def begin(b, lanes, longest, share, law):  # type: ignore[no-untyped-def]
    """Choose the step of each drive, at most `longest` [s] and a `share` of its time left, and begin it."""
    _stand(b, lanes, law)
    for j in range(lanes):
        ax, ay, az, decay = _rates(b, j, law)
        above, vz = b[Z + j] - b[FLOOR + j], b[VZ + j]
        down = max(-az, _MOST_LIFT * law[GRAVITY])  # the lift of the first seconds will not last
        left = (vz + sqrt(max(vz * vz + _TWO * down * above, _NOUGHT))) / down
        b[LEFT + j] = left
        _depart(b, j, b[UP + j] * min(longest, share * left), ax, ay, az, decay)


@part
def _stage(b, lanes, weight, ahead, law):  # type: ignore[no-untyped-def]
    """Add a stage's rates with a weight, and set the next stage, a share `ahead` of the step."""
    _meet_air(b, lanes, law)
    for j in range(lanes):
        ax, ay, az, decay = _rates(b, j, law)
        b[_DX + j] += weight * b[_SVX + j]
        b[_DY + j] += weight * b[_SVY + j]
        b[_DZ + j] += weight * b[_SVZ + j]
        b[_DVX + j] += weight * ax
        b[_DVY + j] += weight * ay
        b[_DVZ + j] += weight * az
        b[_DSPIN + j] += weight * decay
        _go(b, j, ahead * b[STEP + j], ax, ay, az, decay)


@part
def end(b, lanes, law):  # type: ignore[no-untyped-def]
    """Finish a step of the classical fourth-order Runge-Kutta method that `begin` began."""
    _stage(b, lanes, _TWO, _HALF, law)
    _stage(b, lanes, _TWO, _ONE, law)
    _stage(b, lanes, _ONE, _NOUGHT, law)
    for j in range(lanes):
        h, z, vz = b[STEP + j], b[Z + j], b[VZ + j]
        sixth = _SIXTH * h
        dz, dvz = sixth * b[_DZ + j], sixth * b[_DVZ + j]
        # At the apex the speed of climb, nearly linear in time, passes 0 inside the step.
        top = z - _HALF * vz * vz * h / dvz if vz > _NOUGHT and vz + dvz <= _NOUGHT else z + dz
        b[APEX + j] = max(b[APEX + j], top)
        b[Z + j], b[VZ + j] = z + dz, vz + dvz
        b[X + j] += sixth * b[_DX + j]
        b[Y + j] += sixth * b[_DY + j]
        b[VX + j] += sixth * b[_DVX + j]
        b[VY + j] += sixth * b[_DVY + j]
        b[SPIN + j] += sixth * b[_DSPIN + j]
        b[TIME + j] += h


@part
def go_on(b, lanes, law):  # type: ignore[no-untyped-def]
    """Take each drive of a block forward, or back, by the time in its row `STEP`."""
    _stand(b, lanes, law)
    for j in range(lanes):
        ax, ay, az, decay = _rates(b, j, law)
        _depart(b, j, b[STEP + j], ax, ay, az, decay)
    end(b, lanes, law)


@inline
def start_of(speed, angle, direction, spin, tilt):  # type: ignore[no-untyped-def]
    """Return the state at the launch: vx, vy, vz, spin, and the three planes in which the spin turns.

    The axis is square to the launch and keeps its direction. Lift points where a quarter turn about the axis
    takes the part of the airspeed that is square to it. The turn takes the direction of launch u to that of
    lift l, and its component in the plane xy is ux·ly - uy·lx, and so on. `py_func` takes arrays too.
    """
    up, level = np.sin(angle), np.cos(angle)
    right, ahead = np.sin(direction), np.cos(direction)
    lean, upright = np.sin(tilt), np.cos(tilt)
    return (
        speed * level * ahead,
        speed * level * right,
        speed * up,
        spin,
        level * lean,
        upright * ahead + lean * up * right,
        upright * right - lean * up * ahead,
    )


@part
def load(b, start, at, filled):  # type: ignore[no-untyped-def]
    """Put `filled` drives, from number `at` on, into a block, and return how many lanes fly.

    The last also fills lanes that are left over.
    """
    lanes = (filled + _ABREAST - 1) // _ABREAST * _ABREAST
    b[:_XY] = _NOUGHT
    for row in range(4):
        for j in range(lanes):
            b[VX + row * LANES + j] = start[row, at + min(j, filled - 1)]
    for row in range(3):
        for j in range(lanes):
            b[_XY + row * LANES + j] = start[4 + row, at + min(j, filled - 1)]
    for j in range(lanes):
        b[FLOOR + j], b[UP + j] = _NOUGHT, _ONE
    return lanes


@entry
def coefficients_all(ratio, reynolds, law, b, drag, lift):  # type: ignore[no-untyped-def]
    """Fill `drag` and `lift` at spin ratios and Reynolds numbers; the crisis in `law` is one too."""
    for at in range(0, len(ratio), LANES):
        filled = min(LANES, len(ratio) - at)
        for j in range(LANES):
            b[_RATIO + j], b[_SPEED + j] = ratio[at + min(j, filled - 1)], reynolds[at + min(j, filled - 1)]
        coefficients(b, LANES, law)
        for j in range(filled):
            drag[at + j], lift[at + j] = b[_DRAG + j], b[_LIFT + j]


@part
def note(b, k, at, filled, track):  # type: ignore[no-untyped-def]
    """Store the places of the drives of a block as point `k` of their tracks."""
    for row in range(3):
        for j in range(filled):
            track[k, row, at + j] = b[row * LANES + j]


@part
def unload(b, at, filled, landing):  # type: ignore[no-untyped-def]
    """Fill in the landings of the drives of a block."""
    for j in range(filled):
        landing[0, at + j], landing[1, at + j] = b[X + j], b[Y + j]
        for row in range(LANDING - 2):
            landing[2 + row, at + j] = b[VX + row * LANES + j]


@part
def law_of(laws, ball):  # type: ignore[no-untyped-def]
    """Return the numbers of a ball and its air."""
    w = laws[ball]
    return (
        w[0], w[1], w[2], w[3], w[4], w[5], w[6], w[7], w[8], w[9], w[10], w[11], w[12], w[13], w[14], w[15],
        w[16],
    )  # fmt: skip


@entry
def fly(start, laws, ends, first, last, room, landing, track):  # type: ignore[no-untyped-def]
    """Fly the drives from number `first` up to `last`, which it leaves out, from the ground to the ground.

    The drives up to number `ends[0]` fly by `laws[0]`, those after them up to `ends[1]` by `laws[1]`, and so
    on. Fills `landing` (rows, drives) and `track` (points, 3, drives), which is x, y and height on the way
    there. `room` is working memory for `ROOM` numbers.
    """
    b, begun = room, first
    for ball in range(len(laws)):
        law, until = law_of(laws, ball), min(ends[ball], last)
        for at in range(begun, until, LANES):
            filled = min(LANES, until - at)
            lanes = load(b, start, at, filled)
            for k in range(len(FIRST_STEPS)):
                begin(b, lanes, single(FIRST_STEPS[k]), single(FIRST_SHARE), law)
                end(b, lanes, law)
            for k in range(len(SHARES)):
                begin(b, lanes, single(1e9), single(SHARES[k]), law)
                end(b, lanes, law)
                note(b, k, at, filled, track)
            unload(b, at, filled, landing)
        begun = max(begun, until)


# --- angles between wind and aim ---


@entry
def weigh_angles(headings, wind_from, to_weights, count, angles, weights):  # type: ignore[no-untyped-def]
    """Fill `angles` and `weights` by `weigh` for each of the headings."""
    for a in range(len(headings)):
        weigh(headings[a], wind_from, to_weights, count, angles[a], weights[a])


@part
def weigh(heading, wind_from, to_weights, count, angles, weights):  # type: ignore[no-untyped-def]
    """Fill from which of `count` angles, with which weights, flights along a heading are interpolated.

    Return the angle between wind and aim, in steps between the angles.
    """
    apart, taps = 2 * pi / count, len(to_weights)
    place = (wind_from - heading) / apart % count
    if place >= count or count == 1:  # the remainder of a tiny negative number rounds to the divisor itself
        place = 0.0
    nearest = floor(place + 0.5)
    beyond = (place - nearest) * apart
    for tap in range(taps):
        weight = to_weights[tap, 0]
        for k in range(1, taps, 2):
            turn = (k + 1) // 2 * beyond
            weight += to_weights[tap, k] * cos(turn) + to_weights[tap, k + 1] * sin(turn)
        angles[tap] = (np.int64(nearest) + tap - taps // 2) % count
        weights[tap] = weight
    return place
