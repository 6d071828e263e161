"""Templates: an address with names in braces, and what they stand for."""

import re
from collections.abc import Mapping
from typing import Final

from urllib3.exceptions import LocationParseError
from urllib3.util import parse_url

from farglide.gather.fetch.source import Kind

_NAME: Final = re.compile(r"\{([a-z_]+)\}", re.ASCII)
_MADE_OF: Final = re.compile(r"[!-~]+")  # what may stand in an address: visible ASCII
_LONGEST: Final = 2000

_OF_RUN: Final = ("date", "hour", "step", "member")
_OF_AREA: Final = ("fields", "levels", "north", "south", "west", "east")
NAMES: Final[dict[Kind, tuple[str, ...]]] = {
    Kind.CROPPED: (*_OF_RUN, *_OF_AREA),
    Kind.WHOLE: _OF_RUN,
    Kind.TILES: ("lat_tile", "lon_tile"),
    Kind.CLIENT: _OF_RUN,
}
"""The names that may stand in braces, by the kind of source."""
OPTIONAL: Final = "member"
"""The one that a source without members leaves out."""


def filled(template: str, values: Mapping[str, str]) -> str:
    """Return an address with its names filled in.

    >>> filled("http://a.example/{date}/{hour}", {"date": "20270123", "hour": "06"})
    'http://a.example/20270123/06'
    """
    return _NAME.sub(lambda found: values[found[1]], template)


def names_in(template: str) -> tuple[str, ...]:
    """Return the names in braces, in order.

    >>> names_in("http://a.example/{date}/f{step}.grib2")
    ('date', 'step')
    """
    return tuple(_NAME.findall(template))


def fault_of(template: str, kind: Kind, n_members: int = 0) -> str:
    """Return what is wrong with the template of an address, nothing where it is right."""
    if len(template) > _LONGEST or not _MADE_OF.fullmatch(template):
        return f"is no address: 1 to {_LONGEST} letters without blanks are allowed."
    bare = _NAME.sub("0", template)
    if "{" in bare or "}" in bare:
        return "has a brace without its other, or with no plain name between the two."
    try:
        url = parse_url(bare)
    except LocationParseError:
        return "is no address that can be asked."
    if url.scheme not in ("http", "https") or not url.host:
        return "begins with neither http:// nor https:// and the name of a server."
    return _names_fault(names_in(template), kind, n_members)


def _names_fault(found: tuple[str, ...], kind: Kind, n_members: int) -> str:
    allowed = [one for one in NAMES[kind] if one != OPTIONAL or n_members]
    if strange := [one for one in found if one not in allowed]:
        told = ", ".join(f"{{{one}}}" for one in allowed)
        return f"names {{{strange[0]}}}; allowed: {told}."
    if missing := [one for one in allowed if one not in found]:
        return f"lacks {{{missing[0]}}}."
    return ""
