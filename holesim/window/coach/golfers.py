"""The golfers of the folder as a coach lists them."""

from typing import Any

from holesim.errors import InputError
from holesim.units import MPH
from holesim.window.folder import Folder
from holesim.window.inputs import Listing, read_golfer, read_golfer_file


def list_golfers(folder: Folder, listing: Listing) -> list[dict[str, Any]]:
    """Return each golfer of the folder: handicap, club speed, strikes, and the last session measured."""
    return [_row(folder, row["name"]) for row in listing.to_dict()["players"]]


def _row(folder: Folder, name: str) -> dict[str, Any]:
    try:
        player, file = read_golfer(folder, name), read_golfer_file(folder, name)
    except InputError as error:  # a carry that no driver has, say
        return {"name": name, "error": str(error)}
    sessions = file.measured.sessions if file.measured is not None else []
    return {
        "name": name,
        "builtin": name in folder.builtin,
        "title": player.name,
        "sex": player.sex,
        "handicap": player.handicap,
        "handicap_index": player.handicap_index,
        "speed_mph": player.club_speed / MPH,
        "strikes": [strike.label for strike in player.drivers],
        "drives": player.measured,
        "last": max(map(str, sessions), default=None),
    }
