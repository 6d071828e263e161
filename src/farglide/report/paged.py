"""The paper of the brief: its size, and on every sheet a head with the flight and "3 of 5"."""

from typing import Final

from farglide.present.say.text import FlightClock

_FACE: Final = 'font:600 9pt "Barlow Semi Condensed",sans-serif;vertical-align:bottom;'
_LONGEST: Final = 70
"""Letters that a head has room for beside the number of the sheet."""


def page_css(flight: str, clock: FlightClock) -> str:
    """Return the rules of the page; the number counts sheets of paper, however long a part is.

    Source: CSS Paged Media Module Level 3, 5 "Page-margin boxes" and 6.1 "counter(pages)".
    """
    name = flight if len(flight) <= _LONGEST else f"{flight[:_LONGEST]}…"
    head = f"{name}, {clock.date()}, launch {clock.local(0.0)}"
    left = f"@top-left{{content:{css_text(head)};{_FACE}padding-bottom:1.5mm;width:85%}}"
    number = 'content:counter(page) " of " counter(pages)'
    right = f"@top-right{{{number};{_FACE}padding-bottom:1.5mm;width:15%}}"
    return f"@page{{size:A4;margin:13mm 7.5mm 6mm;{left}{right}}}\n"


def css_text(words: str) -> str:
    r"""Return words as a string of CSS: whatever is no plain letter or figure by its number.

    >>> css_text('a"</style>')
    '"a\\22 \\3c \\2f style\\3e "'
    """
    plain = "".join(
        one if one.isascii() and (one.isalnum() or one in " ,.:-") else f"\\{ord(one):x} "
        for one in words
    )
    return f'"{plain}"'
