"""Column names: what a header of a launch monitor's table stands for, its unit, and which way is positive."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from holesim.units import DEGREE, FOOT, INCH, MM, MPH, RPM, YARD

UNITS: Final[Mapping[str, Mapping[str, float]]] = {
    "speed": {"mph": MPH, "m/s": 1.0, "km/h": 1 / 3.6},
    "angle": {"deg": DEGREE, "rad": 1.0},
    "length": {"yd": YARD, "m": 1.0, "ft": FOOT},
    "offset": {"mm": MM, "cm": 0.01, "in": INCH},
    "spin": {"rpm": RPM},
}
"""Units of each kind of quantity in SI, the usual one first."""

_UNIT_WORDS: Final[Mapping[str, str]] = {
    word: unit
    for unit, words in {
        "mph": "mph mi/h miles/h", "m/s": "m/s mps ms meter/s metres/s", "km/h": "km/h kmh kph kmph",
        "deg": "deg degs degree degrees ° º", "rad": "rad rads radian radians",
        "yd": "yd yds yard yards", "m": "m mtr mtrs meter meters metre metres", "ft": "ft feet foot '",
        "mm": "mm millimeter millimeters millimetre millimetres", "cm": "cm centimeters centimetres",
        "in": 'in inch inches "', "rpm": "rpm rev/min 1/min r/min rpms revs/min",
    }.items()
    for word in words.split()
}  # fmt: skip


@dataclass(frozen=True)
class Quantity:
    """What a column may hold.

    Attributes
    ----------
    kind
        The kind of its units, as in `UNITS`.
    unit
        The unit of the bounds below.
    least, most
        What a launch monitor gives; a number beyond is a misreading.
    usual
        Between which a table's typical number lies: the median of a quantity without a direction, of one with
        a direction the size that nine in ten numbers do not exceed. Our assumption.
    ends
        The words for the positive and the negative direction; empty where there is but one.
    """

    kind: str
    unit: str
    least: float
    most: float
    usual: tuple[float, float]
    ends: tuple[str, ...] = ()


_SIDES: Final = ("right", "left")
QUANTITIES: Final[Mapping[str, Quantity]] = {
    "club_speed": Quantity("speed", "mph", 30, 160, (50, 150)),
    "attack": Quantity("angle", "deg", -20, 20, (0.3, 15), ("up", "down")),
    "path": Quantity("angle", "deg", -30, 30, (0.3, 20), _SIDES),
    "face": Quantity("angle", "deg", -30, 30, (0.3, 20), _SIDES),
    "face_to_path": Quantity("angle", "deg", -30, 30, (0.3, 20), _SIDES),
    "dynamic_loft": Quantity("angle", "deg", -5, 60, (3, 35)),
    "toe": Quantity("offset", "mm", -60, 60, (2, 45), ("toe", "heel")),
    "high": Quantity("offset", "mm", -50, 50, (2, 40), ("high", "low")),
    "ball_speed": Quantity("speed", "mph", 20, 240, (70, 215)),
    "launch_angle": Quantity("angle", "deg", -15, 60, (2, 35)),
    "start_direction": Quantity("angle", "deg", -45, 45, (0.3, 25), _SIDES),
    "spin": Quantity("spin", "rpm", 200, 12000, (800, 7000)),
    "backspin": Quantity("spin", "rpm", -1000, 12000, (600, 7000)),
    "sidespin": Quantity("spin", "rpm", -6000, 6000, (30, 5000), _SIDES),
    "axis_tilt": Quantity("angle", "deg", -80, 80, (1, 70), _SIDES),
    "carry": Quantity("length", "yd", 1, 450, (100, 370)),
    "side": Quantity("length", "yd", -200, 200, (1.5, 120), _SIDES),
}
"""What is measured, by our names for it."""

WORDS: Final[Mapping[str, str]] = {
    "attack": "attack angle", "path": "club path", "face": "face angle", "face_to_path": "face to path",
    "toe": "strike towards toe or heel", "high": "strike height", "spin": "spin rate",
    "axis_tilt": "tilt of the spin axis", "side": "side of the target line",
}  # fmt: skip
"""Golfers' words for our names where they are not the same."""

LABELS: Final = ("strike", "club", "player", "date")
"""Columns of words."""

_NAMES: Final[Mapping[str, str]] = {
    "strike": "strike, strike name, strike type, driver strike, up down, up or down, up level down",
    "club": "club, clubs, club name, club type, club used",
    "player": "player, player name, golfer, golfer name",
    "date": "date, date time, datetime, date and time, timestamp, time stamp, shot date, date shot,"
    " shot date time, session date, date session, recorded, recorded at",
    "club_speed": "club speed, clubhead speed, club head speed, head speed, swing speed, clubspeed, chs,"
    " club velocity, clubhead velocity, club head velocity, driver speed, speed club, speed club head",
    "attack": "attack, aoa, ao a, club attack, vertical attack, attack vertical, vertical path,"
    " vertical club path, vertical swing path, club aoa, attackangle",
    "path": "path, club path, swing path, clubhead path, club head path, horizontal path,"
    " horizontal club path, path horizontal, club path horizontal, path to target, clubpath",
    "face": "face, club face, clubface, face to target, club face to target, clubface to target, face target,"
    " face at impact, clubface at impact, faceangle",
    "face_to_path": "face to path, club face to path, clubface to path, face path, ftp, f2p, facetopath",
    "dynamic_loft": "dynamic loft, dyn loft, delivered loft, loft dynamic, dynamicloft, presented loft,"
    " loft at impact, club dynamic loft, impact loft, loft delivered",
    "toe": "toe, toe heel, heel toe, impact toe, impact toe heel, impact heel toe, horizontal impact,"
    " impact horizontal, impact x, strike x, lateral impact, impact lateral, face impact lateral,"
    " face impact horizontal, strike toe, strike toe heel, strike heel toe, horizontal strike, toe strike,"
    " strike horizontal, horizontal face impact, towards toe, impact offset",
    "high": "high, high low, low high, strike height, impact height, vertical impact, impact vertical,"
    " impact y, strike y, impact high, impact high low, face impact vertical, strike high, strike high low,"
    " vertical strike, strike vertical, vertical face impact, high strike, height on face, face height",
    "ball_speed": "ball speed, ballspeed, ball velocity, launch speed, initial speed, initial velocity,"
    " initial ball speed, ball initial speed, speed ball, ball launch speed",
    "launch_angle": "launch, vertical launch, launch vertical, vla, launch elevation, take off, takeoff,"
    " ball launch, launch v, launchangle, initial launch, vertical take off, elevation, ball launch vertical",
    "start_direction": "start direction, starting direction, start line, starting line, launch direction,"
    " initial direction, direction, horizontal launch, launch horizontal, azimuth, launch azimuth, hla,"
    " horizontal direction, ball direction, start dir, launch dir, launch h, launchdirection, side launch,"
    " ball start direction, ball start line, ball launch direction, ball launch horizontal",
    "spin": "spin, total spin, ball spin, spin total, spinrate, ball total spin, spin speed",
    "backspin": "backspin, back spin, ball backspin, ball back spin, spin back",
    "sidespin": "sidespin, side spin, ball sidespin, ball side spin, spin side",
    "axis_tilt": "axis tilt, spin axis, spin axis tilt, tilt axis, spin tilt, axis, tilt,"
    " ball spin axis, spinaxis",
    "carry": "carry, carry dist, carry length, carry yardage, carry flat, flat carry,"
    " ball carry, flight carry",
    "side": "side, offline, off line, lateral, side carry, carry side, carry offline, offline carry,"
    " lateral carry, carry lateral, lateral deviation, side deviation, carry deviation,"
    " off centre, off center,"
    " landing side, side landing, carry off line, side dist, lateral dist, deviation from target line,"
    " flight side, ball side",
}
"""What headers call it: general terms, without what `_FILLERS` leaves out."""

_MEANINGS: Final = {phrase.strip(): name for name, phrases in _NAMES.items() for phrase in phrases.split(",")}
_FILLERS: Final = frozenset(
    (
        "angle",
        "rate",
        "of",
        "distance",
        "value",
        "location",
        "position",
        "point",
        "the",
        "estimated",
        "measured",
    )
)
_ENDS: Final = {
    "r": "right", "l": "left", "u": "up", "d": "down", "t": "toe",
    "right": "right", "left": "left", "up": "up",
    "down": "down", "toe": "toe", "heel": "heel", "high": "high", "low": "low",
}  # fmt: skip
_OTHER: Final = {
    "right": "left", "left": "right", "up": "down", "down": "up", "toe": "heel", "heel": "toe", "high": "low",
    "low": "high",
}  # fmt: skip
_LONGEST: Final = 120  # letters of a header
_PLAIN: Final = str.maketrans(
    {"\u00ba": "°", "\u2033": '"', "\u2019": "'", "\u2032": "'", "\u2212": "-", "\u2013": "-"}
)


@dataclass(frozen=True)
class Header:
    """What a header says.

    Attributes
    ----------
    name
        Our name for what it stands for, of `QUANTITIES` or `LABELS`; empty if it is not known.
    unit
        A unit of any kind; empty if none is stated.
    positive
        Which end is positive; empty if that is not stated.
    """

    name: str
    unit: str
    positive: str


def read_unit(text: str) -> str:
    """Return the unit that a word stands for, by our name of it; empty if it is none.

    Examples
    --------
    >>> read_unit("[yds]"), read_unit("KPH"), read_unit("Driver")
    ('yd', 'km/h', '')
    """
    word = "".join(text.translate(_PLAIN).lower().split()).strip("[](){}.")
    return _UNIT_WORDS.get(word, "")


def read_header(text: str) -> Header:
    """Return what a header says.

    Examples
    --------
    >>> read_header("Carry [m]")
    Header(name='carry', unit='m', positive='')
    >>> read_header("Angle of Attack °").name, read_header("face_to_path_deg").name
    ('attack', 'face_to_path')
    >>> read_header("Offline (yd, + = left)")
    Header(name='side', unit='yd', positive='left')
    """
    unit = positive = ""
    name, inside = text[:_LONGEST].translate(_PLAIN), []
    name = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", name).lower()
    for content in re.findall(r"[(\[{]([^)\]}]*)[)\]}]?", name):
        for part in re.split(r"[,;]", content):
            found, end = read_unit(part), _read_positive(part)
            unit, positive = unit or found, positive or end
            if not found and not end and not _both_ends(part):
                inside.append(part)
    name = re.sub(r"[(\[{][^)\]}]*[)\]}]?", " ", name)
    name = re.sub(r"\b(l\s*/\s*r|r\s*/\s*l|left\s*/\s*right|right\s*/\s*left)\b", " ", name)
    # Past the brackets a unit is the last word: "spin rate rpm", "carry_yd", "attack angle°".
    tail = re.search(r"(?:^|[\s_,:\-]|(?=°))([a-z]+/[a-z]+|[a-z]+|°)\s*\.?\s*$", name)
    if not unit and tail is not None and (found := read_unit(tail[1])) and name[: tail.start()].strip():
        unit, name = found, name[: tail.start()]
    words = re.findall(r"[a-z]+|\d+", " ".join([name, *inside]))
    known = _MEANINGS.get(" ".join(words)) or _MEANINGS.get(
        " ".join(word for word in words if word not in _FILLERS), ""
    )
    return Header(known, unit, positive)


def _both_ends(text: str) -> bool:
    """Return whether text only names both ends, as L/R does."""
    ends = [_ENDS.get(word, "") for word in re.findall(r"[a-z]+", text)]
    return len(ends) == 2 and all(ends) and ends[1] == _OTHER[ends[0]]


def _read_positive(text: str) -> str:
    """Return the end that text such as `+ = left`, `right positive` or `L-/R+` calls positive."""
    for word, sign in (
        *re.findall(r"\b([a-z]+)\s*(?:is|=|:)?\s*(\+|-|positive|negative|pos|neg)(?![a-z])", text),
        *((b, a) for a, b in re.findall(r"(\+|-|positive|negative)\s*(?:is|=|:)?\s*([a-z]+)\b", text)),
    ):
        if word in _ENDS:
            return _ENDS[word] if sign in ("+", "positive", "pos") else _OTHER[_ENDS[word]]
    return ""


def read_end(word: str, ends: tuple[str, ...]) -> str:
    """Return which of two ends a word or letter beside a number means; empty if neither.

    Examples
    --------
    >>> read_end("L", ("right", "left")), read_end("heel", ("toe", "heel"))
    ('left', 'heel')
    """
    matching = [end for end in ends if word and end.startswith(word.lower())]
    return matching[0] if len(matching) == 1 else ""


def state_unit(name: str) -> str:
    """Return our own header for a quantity, which names its unit."""
    return f"{name}_{QUANTITIES[name].unit}"
