"""Picture files of a plan: each tee's hole and, if its expected strokes know next shots, the next shot."""

import re
import unicodedata
from pathlib import Path

from holesim.course.ground_map import map_ground
from holesim.pictures.backdrop import save_png
from holesim.pictures.hole_picture import draw_hole
from holesim.pictures.next_shot_picture import draw_next_shot
from holesim.pictures.typesetting import matplotlib_defaults
from holesim.plan.plan import Plan
from holesim.plan.tee_plan import TeePlan


def write_pictures(plan: Plan, folder: Path, *, metric: bool = False) -> list[Path]:
    """Write one or two PNGs for each tee planned; return their paths."""
    unmapped, stems, paths = plan.options["unmapped"], list[str](), list[Path]()
    ground = map_ground(plan.course, unmapped=unmapped if unmapped in ("rough", "heavy") else None)
    for tee in plan.tees:
        stems.append(_file_stem(tee, set(stems)))
        with matplotlib_defaults():
            drawn = {"hole": draw_hole(tee, plan.course, metric=metric, unmapped=unmapped)}
            if tee.expected is not None and tee.expected.policy is not None:
                drawn["next"] = draw_next_shot(tee, plan.course, ground, metric=metric, unmapped=unmapped)
            for kind, axes in drawn.items():
                paths.append(folder / f"{kind}-{stems[-1]}.png")
                save_png(axes, paths[-1])
    return paths


def _file_stem(plan: TeePlan, taken: set[str]) -> str:
    """Return part of a file name, safe everywhere and not in `taken`."""
    name = unicodedata.normalize("NFKD", plan.tee.name).encode("ascii", "ignore").decode().lower()
    name = re.sub("[^a-z0-9]+", "-", name).strip("-")[:40].strip("-") or "tee"
    stem = f"{plan.hole.number:02d}-{name}"
    names = (f"{stem}{f'-{i}' if i else ''}" for i in (0, *range(2, len(taken) + 3)))
    return next(name for name in names if name not in taken)
