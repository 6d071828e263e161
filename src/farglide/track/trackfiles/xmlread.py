"""XML read piece by piece, without what makes it dangerous: no document type, no entities."""

from collections.abc import Iterator
from pathlib import Path
from typing import Final, NamedTuple
from xml.parsers import expat

from farglide.track.trackfiles.taking import unread

_CHUNK_BYTES: Final = 1 << 16
_DEEPEST: Final = 200
_LONGEST: Final = 10_000  # of a text that is kept: no name or number is longer
_BAD: Final = {c: "\N{REPLACEMENT CHARACTER}" for c in range(32) if c not in (9, 10, 13)}
_SPECIAL: Final = {ord("&"): "&amp;", ord("<"): "&lt;", ord(">"): "&gt;", ord('"'): "&quot;"}


class Ended(NamedTuple):
    """An element that has ended: where it stands, its own text, and what its tag says.

    Names are without their prefix: the versions of these formats differ in that.
    """

    names: tuple[str, ...]
    text: str
    says: dict[str, str]


class _Pieces:
    """Gathers the elements that end within a chunk."""

    def __init__(self, path: str) -> None:
        self.found: list[Ended] = []
        self._path = path
        self._names: list[str] = []
        self._texts: list[str] = []
        self._says: list[dict[str, str]] = []

    def start(self, name: str, says: dict[str, str]) -> None:
        if len(self._names) == _DEEPEST:
            raise unread(self._path, f"nests its elements over {_DEEPEST} deep.", "Is it a track?")
        self._names.append(name.rpartition(":")[2])
        self._texts.append("")
        self._says.append(says)

    def text(self, text: str) -> None:
        if len(self._texts[-1]) < _LONGEST:
            self._texts[-1] += text[:_LONGEST]

    def end(self, _: str) -> None:
        names = tuple(self._names)
        self._names.pop()
        self.found.append(Ended(names, self._texts.pop().strip(), self._says.pop()))

    def doctype(self, *_: object) -> None:
        what = "holds a document type declaration (DOCTYPE), which these formats do not have."
        raise unread(self._path, what, "Export it again, or take the declaration out.")


def ended_elements(path: Path) -> Iterator[Ended]:
    """Yield each element of a file as it ends, children first, little of it in memory.

    Raises SourceError where it is no XML, or has a document type: without one, no entity can grow.
    """
    parser, pieces = expat.ParserCreate(), _Pieces(str(path))
    parser.buffer_text = True
    parser.StartElementHandler, parser.EndElementHandler = pieces.start, pieces.end
    parser.CharacterDataHandler = pieces.text
    parser.StartDoctypeDeclHandler = pieces.doctype
    with path.open("rb") as file:
        is_last = False
        while not is_last:
            chunk = file.read(_CHUNK_BYTES)
            is_last = not chunk
            try:
                parser.Parse(chunk, is_last)
            except (expat.ExpatError, ValueError, LookupError) as error:  # also of its encoding
                raise unread(str(path), f"is no XML: {error}.") from None
            yield from pieces.found
            pieces.found.clear()


def xml_text(text: str) -> str:
    """Return a text as XML may hold it: signs that it may not are replaced by one.

    >>> xml_text('a<b & "c"\\x07')
    'a&lt;b &amp; &quot;c&quot;\N{REPLACEMENT CHARACTER}'
    """
    return "".join(_SPECIAL.get(ord(c), _BAD.get(ord(c), c)) if _may(c) else _BAD[0] for c in text)


def _may(c: str) -> bool:
    return not "\ud800" <= c <= "\udfff" and c not in "\ufffe\uffff"
