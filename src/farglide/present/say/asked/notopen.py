"""Not open: that a field is shut or doubtful, ahead of an answer about the way to it."""

from farglide.outlook.fields import State
from farglide.sortie.words import chance_words


def not_open(field: str, state: State, chance_ratio: float) -> str:
    """Return that a field is not open, let go now; empty for one that is.

    >>> not_open("Home strip", "shut", 0.2), not_open("Home strip", "open", 0.9)
    ('Home strip is shut, let go now: 2 in 10.', '')
    """
    if state == "open":
        return ""
    return f"{field} is {state}, let go now: {chance_words(chance_ratio)}."
