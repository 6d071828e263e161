"""Parts as lines of a terminal: at most 100 columns, tables by spaces."""

from collections.abc import Iterable, Sequence
from textwrap import wrap
from typing import Final

from farglide.present.part import Cell, Column, Fact, Part, Table

WIDTH: Final = 100


def blocks(*told: Sequence[str]) -> list[str]:
    """Return blocks of lines, an empty line between those that say something.

    >>> blocks(["one", "two"], [], ["three"])
    ['one', 'two', '', 'three']
    """
    return [line for block in told if block for line in (*block, "")][:-1]


def part_lines(part: Part) -> list[str]:
    """Return one part: its head, its facts, its table; nothing where there is but a head."""
    lines = fact_lines(part.facts, part.margin)
    lines += table_lines(part.table, part.margin) if part.table else []
    lines += fact_lines(part.after, part.margin)
    head = part.title if part.head is None else part.head
    return [head, *lines] if head and lines else lines


def fact_lines(facts: Iterable[Fact], margin: int = 2) -> list[str]:
    """Return facts in lines; what does not fit on one stands farther in on the next.

    >>> fact_lines(["one fact", "", ("in ", "pieces")])
    ['  one fact', '  in pieces']
    """
    return [line for fact in facts for line in wrapped("".join(fact), margin, 2 * margin)]


def wrapped(words: str, first: int, more: int, width: int = WIDTH) -> list[str]:
    """Return words in lines: how far in the first stands, and how far the others.

    >>> wrapped("drive on " * 12, 2, 4)[1]
    '    drive on'
    """
    return wrap(words, width, initial_indent=" " * first, subsequent_indent=" " * more)


def table_lines(table: Table, margin: int = 2) -> list[str]:
    """Return heads and rows; nothing where a terminal has no column or no row to show."""
    shown = [k for k, column in enumerate(table.columns) if column.width]
    if not shown or not (table.rows or table.rule):
        return []
    columns = [table.columns[k] for k in shown]
    lines = [table.over] if table.over else []
    lines += row_lines(columns, [_head(column) for column in columns], margin)
    lines += ["-" * WIDTH] if table.rule else []
    for row in table.rows:
        lines += row_lines(columns, [_words(row[k]) for k in shown], margin)
    return lines


def row_lines(columns: Sequence[Column], cells: Sequence[str], margin: int) -> list[str]:
    """Return one row: prose goes on below itself, other words flush left are cut."""
    line, more = " " * margin, list[str]()
    for column, words in zip(columns, cells, strict=True):
        width = abs(column.width)
        if column.prose:
            at = len(line)
            words, *rest = wrap(words, min(width - 1, WIDTH - at)) or [""]
            more += [""] * (len(rest) - len(more))
            for k, one in enumerate(rest):
                more[k] = f"{more[k]:<{at if at > margin else 2 * margin}}{one}"
        if column.prose or column.width < 0:
            line += f"{words[: width - 1]:<{width}}"
        else:
            line += f"{words:>{width}}"
    return [line.rstrip(), *more]


def _head(column: Column) -> str:
    return column.head.replace(",", "") if column.short is None else column.short


def _words(cell: str | Cell) -> str:
    return cell.words if isinstance(cell, Cell) else cell
