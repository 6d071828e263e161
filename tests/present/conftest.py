"""What is read out of a picture, for the tests of all of them."""

from xml.etree import ElementTree as ET

SVG = "{http://www.w3.org/2000/svg}"


def parsed(svg: str) -> ET.Element:
    """Return a picture as a tree."""
    return ET.fromstring(svg)


def words_of(root: ET.Element) -> list[str]:
    """Return the words of a picture in their order."""
    return [element.text or "" for element in root.iter(f"{SVG}text")]


def rects(root: ET.Element, **attributes: str) -> list[tuple[float, float, float, float]]:
    """Return left, top, width and height of the boxes with these attributes."""
    found = [
        rect
        for rect in root.iter(f"{SVG}rect")
        if all(rect.get(key.replace("_", "-")) == value for key, value in attributes.items())
    ]
    return [
        (
            float(r.attrib["x"]),
            float(r.attrib["y"]),
            float(r.attrib["width"]),
            float(r.attrib["height"]),
        )
        for r in found
    ]
