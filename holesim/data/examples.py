"""The invented course and players that come with the package."""

from pathlib import Path
from typing import Final

COURSE: Final = "demo.geojson"
PLAYER: Final = "players/good_amateur.toml"
TEAM: Final = "teams/skerry.toml"
WEEKEND: Final = "weekends/skerry.toml"


def find(name: str) -> Path:
    """Return the path of a file of `courses/`, in an installed wheel or in a checkout.

    Examples
    --------
    >>> find(COURSE).name
    'demo.geojson'
    """
    package = Path(__file__).parent.parent
    for folder in (package.parent / "courses", package / "courses"):
        if (folder / name).is_file():
            return folder / name
    raise FileNotFoundError(f"courses/{name} is not installed beside holesim")
