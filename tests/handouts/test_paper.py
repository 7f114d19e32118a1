"""Every kind of sheet on every paper: size, margins that printers keep, smallest print, and its structure."""

import re
import zlib
from collections.abc import Callable, Sequence
from io import BytesIO
from pathlib import Path
from typing import Final, Literal

import numpy as np
import pytest
from matplotlib import rc_context
from matplotlib.figure import Figure
from matplotlib.text import Text
from matplotlib.transforms import Bbox
from PIL import Image

from holesim.handouts.captain_sheet import write_captain_sheet
from holesim.handouts.course_card import write_card
from holesim.handouts.handout import write_handout
from holesim.handouts.plan_words import picture_text
from holesim.handouts.styles import SUFFIXES, HandoutStyle
from holesim.pictures.paper import PAGE, SIZES, Paper
from holesim.pictures.structure import Structure
from holesim.pictures.tagged_pdf import TaggedPdf
from holesim.plan.plan import Plan
from holesim.plan.plan_tables import PlanFile
from tests.handouts.test_captain_sheet import SHORT_NAMES
from tests.handouts.test_captain_sheet import plan as captains_plan
from tests.paper import check_paper
from tests.structure import check_structure

MARGIN: Final = 10  # mm
FINE: Final = 5  # pixels a mm
Kind = Literal["card", "captain"] | HandoutStyle
HANDOUTS: Final = [style for style, suffix in SUFFIXES.items() if suffix == ".pdf"]


def write(kind: Kind, plan: Plan, plans: Sequence[PlanFile], path: Path, paper: Paper) -> None:
    if kind == "card":
        write_card(plan, path, paper=paper)
    elif kind == "captain":
        write_captain_sheet(captains_plan(SHORT_NAMES, one_ball=True, matched=True), path, paper=paper)
    else:
        # Pages of holes are laid out alike.
        few = [one.model_copy(update={"tees": one.tees[:4]}) for one in plans] if kind == "coach" else plans
        write_handout(kind, few, path, metric=True, paper=paper)


@pytest.mark.parametrize("paper", SIZES)
@pytest.mark.parametrize("kind", ["card", "captain", *HANDOUTS])
def test_paper_has_its_size_and_margins_no_print_too_small_and_all_is_read_aloud(
    plan: Plan,
    plans: list[PlanFile],
    kind: Kind,
    paper: Paper,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    shown, words = [], []
    around = (np.array(SIZES[paper]) - PAGE) / 2
    box = Bbox([-around / 72, (PAGE + around) / 72])
    add: Callable[[TaggedPdf, Figure, Structure, Paper], None] = TaggedPdf.add_page

    def add_and_show(pdf: TaggedPdf, figure: Figure, structure: Structure, paper: Paper) -> None:
        picture = BytesIO()
        with rc_context({"text.hinting": "none"}):  # else letters would be fitted to pixels
            figure.savefig(picture, format="png", dpi=FINE * 25.4, bbox_inches=box)
        shown.append(np.array(Image.open(picture).convert("L")))
        words.append([line.get_text() for line in figure.artists if isinstance(line, Text)])
        add(pdf, figure, structure, paper)

    monkeypatch.setattr(TaggedPdf, "add_page", add_and_show)
    write(kind, plan, plans, tmp_path / "sheet.pdf", paper)
    content = (tmp_path / "sheet.pdf").read_bytes()
    check_paper(tmp_path / "sheet.pdf", paper)
    told = check_structure(tmp_path / "sheet.pdf", words)
    assert bool(told) == (kind not in ("card", "captain"))
    if kind in ("pocket", "coach"):
        for tee in (tee for one in plans for tee in one.tees[:4]):
            assert picture_text(tee, tee.chosen(), metric=True) in told
        # A compass beside the first map of each hole.
        runs = [text for text in told if text.startswith("The hole runs ")]
        assert len(runs) == len([line for page in words for line in page if line == "N"])
        assert sum("; wind 8 m/s, " in text for text in runs) == len(runs) // 2
    assert len(shown) == content.count(b"/Type /Page ")
    for page in shown:
        assert page.shape[::-1] == pytest.approx([side / 72 * 25.4 * FINE for side in SIZES[paper]], abs=1)
        for places, side in zip(np.nonzero(page < 250), page.shape, strict=True):
            assert places.min() >= MARGIN * FINE
            assert places.max() < side - MARGIN * FINE
    streams = re.findall(rb"/FlateDecode.*?stream\n(.*?)\nendstream", content, re.DOTALL)
    prints = [
        float(size) for text in map(zlib.decompress, streams) for size in re.findall(rb" (\S+) Tf", text)
    ]
    assert len(prints) > 100
    assert min(prints) >= 7.5
