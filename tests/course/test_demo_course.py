"""The demo course and the script that draws it."""

import importlib.util
import json
import sys
from typing import Any

import shapely
from shapely.geometry import shape

from holesim.data.examples import COURSE, find


def test_the_demo_course_is_what_its_script_draws() -> None:
    spec = importlib.util.spec_from_file_location("draw_demo", find(COURSE).parent / "draw_demo.py")
    assert spec is not None
    assert spec.loader is not None
    script = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = script  # where its dataclasses look for their own module
    spec.loader.exec_module(script)

    def features(text: str) -> list[dict[str, Any]]:
        found: list[dict[str, Any]] = json.loads(text)["features"]
        return found

    drawn = features(script.course())
    kept = features(find(COURSE).read_text(encoding="utf-8"))
    assert [(f["id"], f["properties"]) for f in drawn] == [(f["id"], f["properties"]) for f in kept]
    # The last digits of a sine differ between processors, and with them where an outline is simplified.
    for ours, theirs in zip(drawn, kept, strict=True):
        one, other = shape(ours["geometry"]), shape(theirs["geometry"])
        if one.area:
            assert shapely.symmetric_difference(one, other).area < 0.02 * other.area, ours["id"]
        else:
            assert one.hausdorff_distance(other) < 1e-6, ours["id"]
