"""Parse: one typed line to the entry that it says, names completed by what is known."""

import re
from collections.abc import Callable, Mapping
from typing import Final

from farglide.errors import AnswerError
from farglide.track.typed.entries import (
    AtStand,
    Entry,
    FieldRefused,
    FlownFor,
    Grade,
    LaunchLate,
    LaunchMoved,
    Mark,
    MarkKind,
    NeckLift,
    RoadClosed,
    Seen,
    Side,
    Sighting,
    Undo,
)
from farglide.track.typed.handed import handed_of
from farglide.track.typed.known import Known, begins, named
from farglide.track.typed.numbers import cleaned, number_of, place_typed, tokens
from farglide.track.typed.overlay import height_of, overlay_of
from farglide.track.typed.pointing import bearing_of, clock_of, theodolite_of
from farglide.track.typed.undone import undo_of

MARKS: Final[Mapping[str, MarkKind]] = {
    "launched": MarkKind.LAUNCHED, "l": MarkKind.LAUNCHED,
    "sent": MarkKind.SENT, "rs": MarkKind.SENT,
    "released": MarkKind.RELEASED, "r": MarkKind.RELEASED,
    "stuck": MarkKind.STUCK, "burst": MarkKind.BURST, "b": MarkKind.BURST,
    "lost": MarkKind.LOST, "back": MarkKind.BACK, "last": MarkKind.LAST,
    "dead": MarkKind.DEAD,
    "landed": MarkKind.LANDED, "down": MarkKind.LANDED,
}  # fmt: skip
"""Words of marks; the whole word, or the short one."""
_KG: Final = {"": 1.0, "kg": 1.0, "g": 0.001}
_AMOUNT: Final = re.compile(r"\+?\s*([\d.,]+)\s*(?:min|m)?", re.ASCII)
_WEIGHT: Final = re.compile(r"([\d.,]+)\s*(kg|g)?", re.ASCII)
_ROAD: Final = re.compile(r"(.+?)(?:\s*\+\s*([\d.,]+)\s*(?:min|m)?)?")
STARTS: Final = re.compile(r"[+\-.,\d]", re.ASCII)
"""How a line begins that is nothing but digits off the picture."""

HOW: Final = (
    "Type digits off the picture, or begin with: h height, q picture 0 to 5, a antenna, t "
    "theodolite, sun, wood, water, ridge, border, neck, late, moved, road, refused, for (a field), "
    "at (a stand), over, u undo (u neck: of that alone), or a mark: "
    f"{', '.join(word for word in MARKS if len(word) > 2)}."
)


DIGITS: Final = ("h", "height", "g", "gps")
"""Words before digits off the picture."""


def digits_in(line: str) -> str:
    """Return the digits off the picture that a line is; nothing for any other line.

    >>> digits_in("h 12340"), digits_in("12340 ft"), digits_in("neck 1.6"), digits_in("h12")
    ('12340', '12340 ft', '', '12')
    """
    text = cleaned(line)
    if STARTS.match(text):
        return text
    word, rest = _parted(text)
    return rest if word in DIGITS else ""


def is_direction(line: str) -> bool:
    """Tell whether a line says in which direction it is, by an antenna or a theodolite.

    >>> is_direction("a 214"), is_direction("t5 30 at Stile Gap"), is_direction("at Stile Gap")
    (True, True, False)
    """
    return _READERS.get(_parted(cleaned(line))[0]) in (bearing_of, theodolite_of)


def _parted(text: str) -> tuple[str, str]:
    """Return the first word of a line and what stands behind it, glued to it or not."""
    word, _, rest = text.partition(" ")
    if word not in _READERS and (glued := re.match(r"([a-z])([\d.,+-].*)", text)):
        return glued[1], glued[2]
    return word, rest


def entry_of(line: str, known: Known) -> Entry:
    """Return what a line says, whether or not it fits what is known.

    Raises AnswerError where it says nothing that can be taken, InputError where a value is out of
    its limits.
    """
    text = cleaned(line)
    if not text:
        raise AnswerError(f"That line is empty. {HOW}")
    if STARTS.match(text):
        return overlay_of(text, known)
    word, rest = _parted(text)
    if word in _READERS:
        return _READERS[word](rest, known)
    if word in MARKS:
        return _mark(text)
    raise AnswerError(f"{word!r} is no entry. {HOW}")


def _mark(text: str) -> Mark:
    word, _, rest = text.partition(" ")
    if rest and MARKS[word] in (MarkKind.SENT, MarkKind.RELEASED):
        raise AnswerError(f"Type one behind the other: {word}, then: for {rest}.")
    if text not in MARKS:
        raise AnswerError(f"{text!r} is no mark: {', '.join(MARKS)}.")
    return Mark(kind=MARKS[text])


def _undo(rest: str, known: Known) -> Undo:
    return undo_of(rest, MARKS)


def _grade(rest: str, known: Known) -> Grade:
    if rest in ("none", "no", "-"):
        return Grade(grade=0)
    if not re.fullmatch(r"\d", rest, re.ASCII):
        raise AnswerError("A picture is 5 (clear) to 0 (none): q 3.")
    return Grade(grade=int(rest))


def _sun(rest: str, known: Known) -> Sighting:
    return Sighting(what=Seen.SUN, clock_h=clock_of(rest))


def _edge(what: Seen) -> Callable[[str, Known], Sighting]:
    def read(rest: str, known: Known) -> Sighting:
        sides = [side for side in Side if rest and side.value.startswith(rest)]
        if len(sides) != 1:
            raise AnswerError(f"Left or right? Type: {what} left.")
        return Sighting(what=what, side=sides[0])

    return read


def _neck(rest: str, known: Known) -> NeckLift:
    match = _WEIGHT.fullmatch(rest)
    if match is None:
        raise AnswerError("Type the weighed lift: neck 1.6, or neck 1600 g.")
    return NeckLift(kg=number_of(match[1]) * _KG[match[2] or ""])


def _late(rest: str, known: Known) -> LaunchLate:
    sign, amount = (-1.0, rest[1:]) if rest.startswith("-") else (1.0, rest)
    match = _AMOUNT.fullmatch(amount.strip())
    if match is None:
        raise AnswerError("Type minutes: late 20, or late -5 for 5 min earlier than planned.")
    return LaunchLate(late_s=sign * 60.0 * number_of(match[1]))


def _moved(rest: str, known: Known) -> LaunchMoved:
    lat_deg, lon_deg = place_typed(tokens(rest))
    return LaunchMoved(lat_deg=lat_deg, lon_deg=lon_deg)


def _road(rest: str, known: Known) -> RoadClosed:
    match = _ROAD.fullmatch(re.sub(r"^closed\b", "", rest).strip())
    if match is None or "-" not in match[1].strip("- "):
        raise AnswerError("Type both ends and the detour: road A-B +25; without minutes: closed.")
    start, end = _ends_of(match[1], known)
    longer_s = None if match[2] is None else 60.0 * number_of(match[2])
    return RoadClosed(start=start, end=end, longer_s=longer_s)


def _ends_of(way: str, known: Known) -> tuple[str, str]:
    """Return both ends of a way; a stroke may also stand within a name."""
    refusals, found, begun = list[AnswerError](), list[tuple[str, str]](), list[tuple[str, str]]()
    for stroke in (k for k, letter in enumerate(way) if letter == "-"):
        ends = (way[:stroke], way[stroke + 1 :])
        try:
            start, end = (named(one, known.places, "place on the way") for one in ends)
            found.append((start, end))
            begun += [(start, end)] if all(map(begins, ends, (start, end))) else []
        except AnswerError as error:
            refusals.append(error)
    found = begun or found  # a mistyped name is looked for only where none is begun
    if len(set(found)) > 1:
        ways = " or ".join(f"{start} to {end}" for start, end in dict.fromkeys(found))
        raise AnswerError(f"{way.strip()!r} may be {ways}. Type more of the names.")
    if not found:
        raise refusals[0]
    return found[0]


def _refused(rest: str, known: Known) -> FieldRefused:
    return FieldRefused(field=named(rest, known.fields, "field"))


def _for(rest: str, known: Known) -> FlownFor:
    return FlownFor(field=named(rest, known.fields, "field"))


def _at(rest: str, known: Known) -> AtStand:
    return AtStand(stand=named(rest, [one.name for one in known.stands], "stand"))


_READERS: Final[Mapping[str, Callable[[str, Known], Entry]]] = {
    "h": height_of, "height": height_of, "g": overlay_of, "gps": overlay_of,
    "q": _grade, "pic": _grade, "picture": _grade, "grade": _grade,
    "a": bearing_of, "ant": bearing_of, "antenna": bearing_of, "aim": bearing_of,
    "t": theodolite_of, "theodolite": theodolite_of, "at": _at, "stand": _at,
    "s": _sun, "sun": _sun, "wood": _edge(Seen.WOOD), "water": _edge(Seen.WATER),
    "ridge": _edge(Seen.RIDGE), "border": _edge(Seen.BORDER),
    "n": _neck, "neck": _neck, "late": _late, "moved": _moved, "road": _road, "closed": _road,
    "refused": _refused, "no": _refused, "for": _for, "over": handed_of, "u": _undo, "undo": _undo,
}  # fmt: skip
