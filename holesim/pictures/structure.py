"""The structure of a page: headings, paragraphs, tables and pictures in the order in which they are read."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Final, Literal

from matplotlib.artist import Artist
from matplotlib.text import Text

Tag = Literal["Document", "H1", "H2", "H3", "P", "Table", "TR", "TH", "TD", "Figure"]
"""What an element is, by its standard structure type (ISO 32000-1, 14.8.4)."""

CELLS: Final = frozenset[Tag]({"TH", "TD"})
_OF_ELEMENTS: Final = frozenset[Tag]({"Document", "TR"})  # all others consist of what is drawn


@dataclass(eq=False)
class Element:
    """A part of a page that a screen reader tells as one.

    Attributes
    ----------
    tag, alt
        What it is, and what a picture shows, in words.
    elements, artists
        The elements in it, or the artists that draw it.
    scope
        What a cell is the head of, if it is one.
    """

    tag: Tag
    alt: str = ""
    elements: list["Element"] = field(default_factory=list)
    artists: list[Artist] = field(default_factory=list)
    scope: Literal["", "Column", "Row"] = ""

    def all_artists(self) -> Iterator[Artist]:
        """Yield the artists that draw it or what is in it."""
        yield from self.artists
        for element in self.elements:
            yield from element.all_artists()


class Structure:
    """The elements of a page, in the order in which they are read.

    Attributes
    ----------
    document
        The element that has all others in it.
    drawn
        The elements that artists draw; the gid of an artist is the place of its element here.
    """

    def __init__(self) -> None:
        self.document = Element("Document")
        self.drawn: list[Element] = []
        self._open = [self.document]

    @contextmanager
    def within(self, tag: Tag, alt: str = "") -> Iterator[None]:
        """Put what is written meanwhile into one element; what is written into a row are its cells.

        Rows that follow one another are a table, and the first cell of a row is its head. An element in a
        paragraph, a cell or a picture is part of it.

        Examples
        --------
        >>> structure = Structure()
        >>> with structure.within("TR"):
        ...     for _ in range(2):
        ...         with structure.within("P"):
        ...             pass
        >>> (table,) = structure.document.elements
        >>> table.tag, [cell.tag for cell in table.elements[0].elements]
        ('Table', ['TH', 'TD'])
        """
        outer = self._open[-1]
        if outer.tag not in _OF_ELEMENTS:
            yield
            return
        element = Element(tag, alt)
        if tag == "TH":
            element.scope = "Column"
        elif outer.tag == "TR":
            element.tag, element.scope = ("TD", "") if outer.elements else ("TH", "Row")
        elif tag == "TR":
            if not outer.elements or outer.elements[-1].tag != "Table":
                outer.elements.append(Element("Table"))
            outer = outer.elements[-1]
        outer.elements.append(element)
        self._open.append(element)
        yield
        self._open.pop()

    def claim(self, artist: Artist) -> None:
        """Make an artist part of the open element, if that is a picture or the artist is its text."""
        element = self._open[-1]
        if element.tag == "Figure" or (isinstance(artist, Text) and element.tag not in _OF_ELEMENTS):
            if not element.artists:
                self.drawn.append(element)
            element.artists.append(artist)
            artist.set_gid(f"{len(self.drawn) - 1}")
