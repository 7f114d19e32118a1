"""The picture of setting up: tee height against the crown, ball against the front foot, and the line."""

from collections.abc import Sequence
from math import cos, radians, sin
from typing import Any, Final

import numpy as np
import shapely
from matplotlib.patches import Circle, Polygon
from numpy.typing import NDArray
from shapely.geometry import Point
from shapely.geometry import Polygon as ShapelyPolygon

from holesim.pictures.hole_picture import DRIVER_STYLES
from holesim.pictures.typesetting import INK, QUIET, SMALL, Canvas, printed_width
from holesim.plan.plan_tables import SetUpFile
from holesim.player.player_defaults import BALL_MM, CROWN_MM

Floats = NDArray[np.float64]

TALL: Final = 82.0  # pt
_GAP: Final = 14.0  # pt, between panels
_HEAD: Final = 12.0  # pt, for what a panel shows
_FOOT: Final = 10.0  # pt, for words below it
_PALE: Final = "#e2e2e2"
_BALL_INSIDE: Final = {
    "opposite the front toes": -10.0,
    "opposite the front heel": 0.0,
    "a ball inside the front heel": BALL_MM / 10,
    "two balls inside the front heel": BALL_MM / 5,
}
"""How far inside the front heel each ball position lies [cm]. Toes that are turned out stand some 10 cm
nearer to the target than their heel."""
_SOLE: Final = (
    (3.5, 7.0),
    (18.0, 10.0),
    (25.0, 7.5),
)  # of a shoe: cm from its heel, and across
_HEAD_SHAPE: Final = (
    (0, 0),
    (96, 0),
    (112, 26),
    (106, 50),
    (70, 66),
    (34, 62),
    (0, 34),
)  # mm
_ROUND: Final = 18.0  # mm, the radius of its corners
_STANCE: Final = 44.0  # cm, from heel to heel
_TURNED: Final = {True: 25.0, False: 5.0}  # degrees, by which the front and the back foot are turned out


def draw_set_up(
    canvas: Canvas, x: float, y: float, wide: float, strikes: Sequence[SetUpFile], *, left_handed: bool
) -> float:
    """Draw three panels side by side; return where they end."""
    panel, top = (wide - 2 * _GAP) / 3, y + _HEAD
    heads = ("Tee height against the crown", "Ball against the feet", "Line of the swing")
    with canvas.within("Figure", f"{'; '.join(heads).capitalize()}, as the words below say."):
        for number, head in enumerate(heads):
            canvas.write(x + number * (panel + _GAP), y, head, size=7.5, bold=True, width=panel, max_lines=1)
        _draw_tee(canvas, x, top, panel, strikes)
        _draw_stance(canvas, x + panel + _GAP, top, panel, strikes, left_handed=left_handed)
        _draw_lines(canvas, x + 2 * (panel + _GAP), top, panel, strikes)
    return y + TALL


def _draw_tee(canvas: Canvas, x: float, y: float, wide: float, strikes: Sequence[SetUpFile]) -> None:
    """Draw each strike's ball on its tee beside the head of a driver that stands on the ground."""
    tall = TALL - _HEAD - _FOOT
    highest = max(CROWN_MM, *(s.tee_height_mm + BALL_MM for s in strikes)) + 3
    across = 118 + 54 * len(strikes)  # mm
    scale = min(tall / highest, wide / across)
    ground, crown = y + tall, y + tall - CROWN_MM * scale
    head = shapely.get_coordinates(ShapelyPolygon(_HEAD_SHAPE).buffer(-_ROUND).buffer(_ROUND))
    head[:, 1] *= CROWN_MM / head[:, 1].max()
    _add(canvas, Polygon(_placed(head, x, ground, scale), **_shape(_PALE)))
    canvas.draw_line(x, x + across * scale, ground, lw=0.8, c=INK)
    canvas.draw_line(x + 62 * scale, x + across * scale, crown, lw=0.7, c=QUIET, ls=(0, (4, 2)))
    for number, s in enumerate(strikes):
        middle = x + (118 + 27 + 54 * number) * scale
        under = ground - s.tee_height_mm * scale
        canvas.draw_path([(middle, ground), (middle, under)], lw=1.6, c=QUIET)
        _draw_ball(canvas, middle, under - BALL_MM / 2 * scale, BALL_MM / 2 * scale, s)
        _write_middle(canvas, middle, ground + 1, f"{s.tee_height_mm:.0f} mm")


def _draw_stance(
    canvas: Canvas, x: float, y: float, wide: float, strikes: Sequence[SetUpFile], *, left_handed: bool
) -> None:
    """Draw feet and balls from above; the aim is to the left of a right-hander."""
    tall = TALL - _HEAD - _FOOT
    forward = 1.0 if left_handed else -1.0
    scale = min(wide / 92.0, tall / 56.0)  # pt for a cm
    middle, heels = x + wide / 2, y + tall - 2
    front, back = (middle + forward * side * _STANCE / 2 * scale for side in (1, -1))
    for heel, is_front in ((front, True), (back, False)):
        turn = radians(_TURNED[is_front]) * (forward if is_front else -forward)
        _add(canvas, Polygon(_shoe(heel, heels, turn, scale), **_shape(_PALE)))
    line = heels - 44 * scale
    canvas.draw_line(x + 4, x + wide - 4, line, lw=0.8, c=QUIET, ls=(0, (6, 2, 1, 2)))
    edge = x + 4 if forward < 0 else x + wide - 4
    canvas.draw_path(
        [(edge - forward * 5, line - 3), (edge, line), (edge - forward * 5, line + 3)], lw=0.8, c=QUIET
    )
    canvas.draw_path([(front, heels), (front, line)], lw=0.5, c=QUIET, ls=(0, (2, 2)))
    taken: dict[float, int] = {}
    for s in strikes:
        if s.ball not in _BALL_INSIDE:
            continue
        inside = _BALL_INSIDE[s.ball]
        place = taken.get(inside, 0)
        taken[inside] = place + 1
        size = BALL_MM / 20 * scale
        _draw_ball(canvas, front - forward * inside * scale, line - place * 2.4 * size, size, s)
    words = "front foot"
    spot = front - forward * 0 - printed_width(words, SMALL) / 2
    canvas.write(spot, heels + 2, words, size=SMALL, colour=QUIET)
    aim = "aim"
    at = edge if forward < 0 else edge - printed_width(aim, SMALL)
    canvas.write(at, line + 4, aim, size=SMALL, colour=QUIET)


def _draw_lines(canvas: Canvas, x: float, y: float, wide: float, strikes: Sequence[SetUpFile]) -> None:
    """Draw the line of aim up the page, and the swing line of each strike at its angle."""
    tall = TALL - _HEAD - _FOOT
    foot, start = y + tall, x + wide / 2
    canvas.draw_path([(start, foot), (start, y + 6)], lw=0.8, c=QUIET, ls=(0, (6, 2, 1, 2)))
    canvas.write(start - printed_width("aim", SMALL) / 2, y - 4, "aim", size=SMALL, colour=QUIET)
    for number, s in enumerate(strikes):
        style, turn, long = DRIVER_STYLES[s.strike], radians(s.alignment_deg), tall - 14 - 13 * number
        end = start + long * sin(turn), foot - long * cos(turn)
        canvas.draw_path([(start, foot), end], lw=1.3, c=style.colour)
        canvas.draw_line(
            end[0], end[0], end[1], c=style.colour, marker=style.marker, ms=6, mec="white", mew=0.5
        )
        text = _line_label(s)
        beside = end[0] + 7 if s.alignment_deg >= 0 else end[0] - 7 - printed_width(text, SMALL)
        canvas.write(beside, end[1] - 5, text, size=SMALL)
    canvas.draw_line(start, start, foot, c=INK, marker="o", ms=3)


def _line_label(s: SetUpFile) -> str:
    degrees = round(abs(s.alignment_deg), 1)
    side = "right" if s.alignment_deg > 0 else "left"
    return f"{s.strike} {degrees:g}° {side}" if degrees else f"{s.strike} on the aim"


# --- shapes -----------------------------------------------------------------------------------------


def _shape(fill: str) -> dict[str, Any]:
    return {"fc": fill, "ec": INK, "lw": 0.7}


def _add(canvas: Canvas, patch: Polygon | Circle) -> None:
    patch.set_transform(canvas.transform)
    patch.set_clip_on(False)
    canvas.add(patch)


def _placed(points: Floats, x: float, ground: float, scale: float) -> Floats:
    return np.column_stack([x + points[:, 0] * scale, ground - points[:, 1] * scale])


def _draw_ball(canvas: Canvas, x: float, y: float, radius: float, s: SetUpFile) -> None:
    """Draw a ball with the marker of its strike inside."""
    style = DRIVER_STYLES[s.strike]
    _add(canvas, Circle((x, y), radius, fc="white", ec=style.colour, lw=1.2))
    canvas.draw_line(x, x, y, c=style.colour, marker=style.marker, ms=min(radius, 6.0), mew=0)


def _shoe(heel: float, heels: float, turn: float, scale: float) -> Floats:
    """Return the outline of a shoe whose heel stands at a point, turned from straight up the page [rad]."""
    parts = [Point(0, reach).buffer(wide / 2) for reach, wide in _SOLE]
    side, along = shapely.get_coordinates(shapely.union_all(parts).convex_hull).T
    x, up = side * cos(turn) + along * sin(turn), along * cos(turn) - side * sin(turn)
    return np.column_stack([heel + x * scale, heels - up * scale])


def _write_middle(canvas: Canvas, x: float, y: float, text: str) -> None:
    canvas.write(x - printed_width(text, SMALL) / 2, y, text, size=SMALL)
