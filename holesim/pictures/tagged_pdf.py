"""Tagged PDFs (ISO 32000-1, 14.7 and 14.8): what is drawn, and the structure by which it is read aloud.

matplotlib draws; its `PdfFile` and `RendererPdf` are extended by names that they keep public.
"""

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

import numpy as np
from matplotlib.backends.backend_pdf import Name, Op, PdfFile, Reference, RendererPdf
from matplotlib.figure import Figure
from matplotlib.transforms import Bbox
from numpy.typing import NDArray

from holesim.pictures.paper import PAGE, SIZES, Paper
from holesim.pictures.structure import CELLS, Element, Structure


class TaggedPdf(PdfFile):
    """A PDF in English that shows its title and has a structure."""

    def __init__(self, path: Path, title: str) -> None:
        self._kids: list[Reference] = []  # of the document's element
        self._parents: list[list[Reference]] = []  # for each page the element of each marked content
        metadata = {"Title": title, "CreationDate": None, "Creator": "holesim", "Producer": None}
        super().__init__(path, metadata=metadata)

    def writeObject(self, object: Reference, contents: Any) -> None:  # noqa: A002, ANN401, N802
        """Write an object; the catalogue and pages say more than matplotlib makes them say."""
        kind = contents.get("Type") if isinstance(contents, dict) else None
        if kind == Name("Catalog"):
            self._root, self._document = self.reserveObject("structure"), self.reserveObject("document")
            contents |= {
                "Version": Name("1.7"), "Lang": "en", "ViewerPreferences": {"DisplayDocTitle": True},
                "MarkInfo": {"Marked": True}, "StructTreeRoot": self._root,
            }  # fmt: skip
        elif kind == Name("Page"):
            contents |= {"StructParents": len(self._parents), "Tabs": Name("S")}
        super().writeObject(object, contents)

    def add_page(self, figure: Figure, structure: Structure, paper: Paper) -> None:
        """Draw a figure of the size `PAGE` in the middle of paper."""
        wide, tall = SIZES[paper]
        margin = (np.array([wide, tall]) - PAGE) / 2
        self.newPage(wide / 72, tall / 72)
        self.output(1, 0, 0, 1, *margin, Op.concat_matrix)
        dpi, figure.dpi = figure.dpi, 72  # points; images keep their pixels
        renderer = _MarkingRenderer(self, dpi, tall / 72, wide / 72, structure.drawn)
        figure.draw(renderer)
        renderer.finalize()
        self.endStream()
        writer = _ElementWriter(self, self.pageList[-1], renderer, margin)
        self._kids += writer.write(structure.document.elements, self._document)
        self._parents.append(writer.parents)

    def finalize(self) -> None:
        """Write the root of the structure, and all that pages share."""
        element = {"Type": Name("StructElem"), "S": Name("Document"), "P": self._root, "K": self._kids}
        self.writeObject(self._document, element)
        pages = [entry for page in enumerate(self._parents) for entry in page]
        root = {"Type": Name("StructTreeRoot"), "K": [self._document], "ParentTree": {"Nums": pages}}
        self.writeObject(self._root, root | {"ParentTreeNextKey": len(self._parents)})
        super().finalize()


class _MarkingRenderer(RendererPdf):
    """Marks what is drawn as part of the element that its gid tells, or as an artifact.

    Attributes
    ----------
    marked
        The element of each marked content, by its identifier.
    """

    def __init__(
        self, file: TaggedPdf, image_dpi: float, height: float, width: float, drawn: Sequence[Element]
    ) -> None:
        super().__init__(file, image_dpi, height, width)
        self.marked: list[Element] = []
        self._drawn = drawn
        self._depth = 0  # of groups; what the figure's own has in it is marked whole

    def open_group(self, s: str, gid: str | None = None) -> None:  # noqa: ARG002
        """Begin what an artist draws."""
        self._depth += 1
        if self._depth != 2:
            return
        if gid is None:
            self.file.write(b"/Artifact BMC\n")
            return
        element = self._drawn[int(gid)]
        self.file.write(b"/%b <</MCID %d>> BDC\n" % (element.tag.encode(), len(self.marked)))
        self.marked.append(element)

    def close_group(self, s: str) -> None:  # noqa: ARG002
        """End what an artist draws."""
        if self._depth == 2:
            self.file.write(b"EMC\n")
        self._depth -= 1

    def draw_text(self, gc: Any, x: float, y: float, s: str, *how: Any, **more: Any) -> None:  # noqa: ANN401
        """Draw a line and a space, by which a reader tells lines' words apart (14.8.2.5)."""
        super().draw_text(gc, x, y, f"{s} ", *how, **more)


class _ElementWriter:
    """Writes the elements of a page."""

    def __init__(
        self, file: TaggedPdf, page: Reference, renderer: _MarkingRenderer, margin: NDArray[np.float64]
    ) -> None:
        self._file, self._page, self._renderer, self._margin = file, page, renderer, margin
        self._marks: dict[Element, list[int]] = {}
        for mark, element in enumerate(renderer.marked):
            self._marks.setdefault(element, []).append(mark)
        self._objects: dict[Element, Reference] = {}

    @property
    def parents(self) -> list[Reference]:
        """The object of each marked content's element, by its identifier."""
        return [self._objects[element] for element in self._renderer.marked]

    def write(self, elements: Iterable[Element], parent: Reference) -> list[Reference]:
        """Write elements and all within; return those that say anything, and cells, which also are places."""
        return [
            self._write_one(element, parent)
            for element in elements
            if element.elements or element in self._marks or element.tag in CELLS
        ]

    def _write_one(self, element: Element, parent: Reference) -> Reference:
        own: Reference = self._file.reserveObject(element.tag)
        self._objects[element] = own
        kids = [*self.write(element.elements, own), *self._marks.get(element, [])]
        entries = {"S": Name(element.tag), "P": parent, "Pg": self._page, "K": kids}
        if element.alt:
            entries["Alt"] = element.alt
        if element.scope:
            entries["A"] = {"O": Name("Table"), "Scope": Name(element.scope)}
        if element.tag in ("Table", "Figure"):
            entries["A"] = {"O": Name("Layout"), "BBox": self._box(element)}
        self._file.writeObject(own, entries)
        return own

    def _box(self, element: Element) -> list[float]:
        """Return the corners of what is drawn of an element, on the paper [pt]."""
        boxes = [artist.get_window_extent(self._renderer) for artist in element.all_artists()]
        return [float(edge) for edge in (Bbox.union(boxes).get_points() + self._margin).ravel()]
