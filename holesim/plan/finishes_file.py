"""Files of finishes: outlines that hold half and nine in ten of a strike's drives, and a row a drive."""

from collections.abc import Iterator
from io import BytesIO
from math import cos, sin
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

import numpy as np
import pandas as pd
import shapely
import shapely.affinity
from numpy.lib.format import write_array
from numpy.typing import NDArray
from shapely.geometry import LineString, MultiPoint

from holesim.common.csv_tables import table_text
from holesim.common.density import SHARES, outlines
from holesim.course.geojson import Feature, to_geojson
from holesim.plan.plan import Plan
from holesim.plan.tee_plan import StrikePlan, TeePlan
from holesim.shot.relief import Finish
from holesim.units import YARD

Floats = NDArray[np.float64]


def finishes_geojson(plan: Plan) -> str:
    """Return the outlines and the aim of each strike on each tee as GeoJSON, for any GIS."""
    features = [feature for tee in plan.tees for strike in tee.strikes for feature in _features(tee, strike)]
    longitude, latitude = plan.course.origin
    return to_geojson(features, latitude, longitude)


def _features(tee: TeePlan, strike: StrikePlan) -> Iterator[Feature]:
    """Yield what a map shows of a strike, on the course's plane."""
    name = f"hole {tee.hole.number} {tee.tee.name} {strike.label}"
    x, y = tee.tee.x, tee.tee.y
    pin = tee.tee.bearing(*tee.hole.pin)
    tags: dict[str, object] = {
        "hole": tee.hole.number, "tee": tee.tee.name, "club": strike.club, "strike": strike.strike,
        "chosen": strike is tee.choice, "strokes": round(strike.strokes, 3),
    }  # fmt: skip
    end = x + strike.total * sin(pin + strike.aim), y + strike.total * cos(pin + strike.aim)
    yield Feature(f"{name} aim", LineString([(x, y), end]), tags | {"aim": strike.mark.text()})
    # The density is smoothed along the line to the pin and across it.
    points = np.column_stack([strike.drives.x, strike.drives.y])
    turned = shapely.affinity.rotate(MultiPoint(points), pin, origin=(x, y), use_radians=True)
    for share, area in zip(SHARES, outlines(shapely.get_coordinates(turned), SHARES), strict=True):
        back = shapely.affinity.rotate(area, -pin, origin=(x, y), use_radians=True)
        yield Feature(f"{name} {share:.0%}", back, tags | {"share": share})


def drives_frame(plan: Plan) -> pd.DataFrame:
    """Return a row for each scored drive: where it lands and finishes, and the strokes on the hole.

    Sides are right of the line from tee to pin. `finish` is as in the plan's shares, before any ball is lost.
    """
    return pd.concat([_rows(tee, strike) for tee in plan.tees for strike in tee.strikes], ignore_index=True)


def write_drives(plan: Plan, path: Path) -> None:
    """Write `drives_frame` as comma-separated values or, to a path that ends so, as numpy's .npz arrays."""
    rows = drives_frame(plan)
    if path.suffix != ".npz":
        path.write_bytes(table_text(rows.round(3)).encode())
        return
    # As numpy.savez_compressed does, but without the time of day, so that the same plan gives the same bytes.
    with ZipFile(path, "w") as archive:
        for name, column in rows.items():
            values = column.to_numpy()
            with BytesIO() as file:
                write_array(file, values.astype(str) if values.dtype == object else values)
                archive.writestr(ZipInfo(f"{name}.npy"), file.getvalue(), ZIP_DEFLATED)


def _rows(tee: TeePlan, strike: StrikePlan) -> pd.DataFrame:
    drives, x, y = strike.drives, tee.tee.x, tee.tee.y
    pin = tee.tee.bearing(*tee.hole.pin)
    names = np.array([finish.name.lower() for finish in Finish])

    def along_and_right(east: Floats, north: Floats) -> tuple[Floats, Floats]:
        east, north = east - x, north - y
        return (
            (sin(pin) * east + cos(pin) * north) / YARD,
            (cos(pin) * east - sin(pin) * north) / YARD,
        )

    landed = along_and_right(drives.landing_x, drives.landing_y)
    finished = along_and_right(drives.x, drives.y)
    return pd.DataFrame(
        {
            "hole": tee.hole.number, "tee": tee.tee.name, "club": strike.club, "strike": strike.strike,
            "drive": np.arange(1, len(drives.x) + 1),
            "landing_along_yd": landed[0], "landing_side_yd": landed[1],
            "finish_along_yd": finished[0], "finish_side_yd": finished[1],
            "finish": names[drives.finish], "strokes": drives.strokes,
        }
    )  # fmt: skip
