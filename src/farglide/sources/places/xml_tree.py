"""XML read without any of what makes it dangerous: no document type, hence no entities."""

import re
from collections.abc import Iterator
from typing import Final
from xml.etree import ElementTree

from farglide.sources.files import refused

Element = ElementTree.Element

_DECLARED: Final = re.compile(rb"""^\s*<\?xml[^>]*?encoding\s*=\s*["']([A-Za-z0-9._-]+)["']""")
_ENCODINGS: Final = ("utf-8", "us-ascii", "iso-8859-1", "windows-1252", "utf-16")
_MARKS: Final = ((b"\xef\xbb\xbf", "utf-8-sig"), (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"))
_DEEPEST: Final = 200
_MOST_ELEMENTS: Final = 1_000_000
_AT_ONCE: Final = 1 << 16
_HEAD: Final = re.compile(r"^\s*<\?xml[^>]*\?>")


class _Bounded(ElementTree.TreeBuilder):
    """A tree that is refused while it grows, once it is deeper or larger than places need."""

    def __init__(self, path: str) -> None:
        super().__init__()
        self._path, self._depth, self._n = path, 0, 0

    def start(self, tag: str, attrs: dict[str, str]) -> Element:
        """Open an element."""
        self._depth += 1
        self._n += 1
        if self._depth > _DEEPEST or self._n > _MOST_ELEMENTS:
            what = f"nests its elements over {_DEEPEST} deep, or holds over {_MOST_ELEMENTS}."
            raise refused(self._path, what, "Cut it down to the area of the flight.")
        return super().start(tag, attrs)

    def end(self, tag: str) -> Element:
        """Close an element."""
        self._depth -= 1
        return super().end(tag)


def xml_text(path: str, data: bytes) -> str:
    """Return XML bytes as text: by byte-order mark, by the stated encoding, else UTF-8."""
    encoding = next((name for mark, name in _MARKS if data.startswith(mark)), "")
    if not encoding:
        declared = _DECLARED.match(data[:1000])
        encoding = declared[1].decode("ascii").lower() if declared else "utf-8"
        if encoding not in _ENCODINGS:
            what = f"says it is in {encoding[:40]!r}; allowed: {', '.join(_ENCODINGS)}."
            raise refused(path, what, "Save it as UTF-8.", where="line 1")
    try:
        return data.decode(encoding)
    except UnicodeDecodeError as error:
        what = f"is no {encoding} text (byte {error.start})."
        raise refused(path, what, "Save it as UTF-8.") from None


def xml_root(path: str, text: str) -> Element:
    """Return the root of an XML text; one with a document type is refused before it is parsed.

    Entities can only be declared in a document type: without one none can grow or fetch anything.
    """
    if "<!DOCTYPE" in text.upper():
        what = "holds a document type declaration (DOCTYPE), which these formats do not have."
        raise refused(path, what, "Export it again, or take the declaration out.")
    try:
        # The text is decoded already: what its head says of an encoding no longer holds.
        parser = ElementTree.XMLParser(target=_Bounded(path))
        whole = _HEAD.sub("", text, count=1)
        for at in range(0, len(whole), _AT_ONCE):  # else the rest is parsed after a refusal
            parser.feed(whole[at : at + _AT_ONCE])
        root: Element = parser.close()
        return root
    except (ElementTree.ParseError, ValueError, UnicodeEncodeError) as error:
        raise refused(path, f"is no XML: {error}.", "Is it whole?") from None


def local_name(element: Element) -> str:
    """Return an element's name without its namespace; these formats' versions differ in theirs."""
    return element.tag.rpartition("}")[2] if isinstance(element.tag, str) else ""


def children(element: Element, name: str) -> Iterator[Element]:
    """Yield an element's own children of a name."""
    return (child for child in element if local_name(child) == name)


def child_text(element: Element, name: str) -> str:
    """Return the text of the first own child of a name, tidied; nothing where there is none."""
    found = next(children(element, name), None)
    return " ".join((found.text or "").split()) if found is not None else ""
