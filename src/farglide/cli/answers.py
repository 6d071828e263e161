"""Answers: what a plan prints, of a glider or of a payload, whole or in the order it is known."""

import json
from pathlib import Path
from textwrap import wrap
from typing import Final

from farglide.outlook.document import Documented
from farglide.outlook.outlook import Outlook
from farglide.outlook.payload import PayloadOutlook
from farglide.plan.decided import Decided
from farglide.present.lines import WIDTH
from farglide.present.say.answer import LAST_WORD, more_lines
from farglide.present.say.payload import payload_lines
from farglide.present.say.screen import compared_lines, decision_lines

_MORE: Final = "All numbers: --full. To print and carry: --out FOLDER."


def document_text(outlook: Documented) -> str:
    """Return the outlook as one JSON document."""
    return json.dumps(outlook.document(), indent=1, allow_nan=False, ensure_ascii=False)


def answer_text(outlook: Outlook | PayloadOutlook) -> str:
    """Return what `farglide plan` prints: the first screen and the last word."""
    if isinstance(outlook, PayloadOutlook):
        return "\n".join(payload_lines(outlook))
    return "\n".join([*decision_lines(outlook), rest_text(outlook)])


def begun_text(begun: Decided | PayloadOutlook, width: int = WIDTH, full: bool = False) -> str:
    """Return the beginning of the first screen, which stands when the decision does.

    Of a payload all that is asked for.
    """
    if isinstance(begun, PayloadOutlook):
        return "\n".join(payload_lines(begun, full))
    return "\n".join(decision_lines(begun.outlook, width))


def rest_text(outlook: Outlook | PayloadOutlook, width: int = WIDTH, full: bool = False) -> str:
    """Return the end of the first screen, and all that the screen leaves out or how to see it."""
    if isinstance(outlook, PayloadOutlook):
        return "" if full else "\n".join(wrap(_MORE, width))
    more = more_lines(outlook) if full else wrap(f"{LAST_WORD} {_MORE}", width)
    return "\n".join([*compared_lines(outlook, width), "", *more])


def written_words(out: Path) -> str:
    """Return what of the written files a person opens first."""
    return f"Brief: {out / 'brief.html'}"
