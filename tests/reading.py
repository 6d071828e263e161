"""Reading: an answer as a person reads it from the first line to the last."""

from farglide.outlook.outlook import Outlook
from farglide.present.say.answer import more_lines
from farglide.present.say.screen import screen_lines


def answer_lines(outlook: Outlook) -> list[str]:
    """Return the whole plan in plain lines of at most 100 columns: first what decides."""
    return [*screen_lines(outlook), "", *more_lines(outlook)]
