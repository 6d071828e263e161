"""A card on the ride's screen: the answer to a question, in as many pages as it needs."""

import re
from collections.abc import Iterator, Sequence
from textwrap import wrap
from typing import Final

MORE: Final = "(Enter shows the rest"
_LABELLED: Final = re.compile(r" +[A-Z]\S*(?: \S+)?  +\S")
"""A row with its label in front goes on with no line before it."""
_AWAY: Final = "(Enter takes this card away.)"


def card_lines(card: Sequence[str], page: int, n_columns: int, n_rows: int) -> list[str]:
    """Return one page of a card in so many rows, and what Enter does; `page`: from 0.

    A line that begins with `MORE` says that there are more pages.
    """
    lines = list(_flowed(card, n_columns))
    n_each = n_rows - 1
    n_pages = -(-len(lines) // n_each)
    page = min(page, max(n_pages - 1, 0))
    told = lines[page * n_each : (page + 1) * n_each]
    told.append(_AWAY if page >= n_pages - 1 else f"{MORE}: page {page + 1} of {n_pages}.)")
    return told + [""] * (n_rows - len(told))


def _flowed(card: Sequence[str], n_columns: int) -> Iterator[str]:
    """Yield lines for so many columns, of lines that were broken for a wider screen."""
    whole, indent, is_long = "", 0, False
    for line in card:
        deep = len(line) - len(line.lstrip())
        is_row = _LABELLED.match(line) is not None
        if is_long and line.strip() and not is_row and deep > len(whole) - len(whole.lstrip()):
            whole, indent = f"{whole} {line.strip()}", deep
            is_long = len(line) > _broken(n_columns)
            continue
        yield from _wrapped(whole, n_columns, indent) if whole else ()
        if not line.strip():
            yield ""
        whole, indent = line.rstrip(), min(deep + 4, n_columns // 2)
        is_long = len(line) > _broken(n_columns)
    yield from _wrapped(whole, n_columns, indent) if whole else ()


def _broken(n_columns: int) -> int:
    """Return from which length on the next line may go on with this one."""
    return n_columns - 12


def _wrapped(line: str, n_columns: int, indent: int) -> list[str]:
    return wrap(line, n_columns, subsequent_indent=" " * indent, break_on_hyphens=False)
