"""Parts as HTML: every word escaped, every table with heads that a reader aloud can find."""

from collections.abc import Sequence
from html import escape
from typing import Final

from farglide.present.part import Cell, Column, Fact, Part, Strong, Table
from farglide.present.say.text import sentence

N_LETTERS: Final = 58
"""Letters that the width of a phone holds; a row of more is a block there, each cell under its
head."""
N_FIGURE: Final = 13
"""A longer cell takes the whole width of such a block."""


def section(part: Part, key: str = "") -> str:
    """Return one part as a section under its title; `key`: its id."""
    note = f"<em>{escape(part.note)}</em>" if part.note else ""
    name = f' id="{escape(key)}"' if key else ""
    style = ' class="long"' if part.long else ""
    return f"<section{name}{style}><h2>{escape(part.title)}{note}</h2>{body(part)}</section>\n"


def body(part: Part) -> str:
    """Return what stands under the title: the table, then the facts that paper shows."""
    told = "".join(f"<li>{fact_html(fact)}</li>" for fact in part.on_paper if fact)
    table = table_html(part.table, part.title) if part.table and part.table.rows else ""
    return table + (f"<ul>{told}</ul>" if told else "")


def fact_html(fact: Fact) -> str:
    """Return one fact as a sentence, its strong pieces bold.

    >>> fact_html(("a ", Strong("ring & a bar")))
    'A <b>ring &amp; a bar</b>.'
    """
    first, *more = (fact,) if isinstance(fact, str) else fact
    first = type(first)(first[:1].upper() + first[1:])
    whole = "".join((first, *more))
    return "".join(map(_piece, (first, *more))) + sentence(whole)[len(whole) :]


def _piece(words: str) -> str:
    return f"<b>{escape(words)}</b>" if isinstance(words, Strong) else escape(words)


def table_html(table: Table, title: str) -> str:
    """Return a table, in a frame that can be scrolled where a screen is narrow."""
    wide = n_letters(table) > N_LETTERS
    names = " ".join(name for name in (table.kind, "cards" if wide else "") if name)
    style = f' class="{names}"' if names else ""
    label = f'class="scroll" role="region" aria-label="{escape(title)}" tabindex="0"'
    rows = "".join(_row(table, row, wide) for row in table.rows)
    return f"<div {label}><table{style}>{_heads(table.columns)}<tbody>{rows}</tbody></table></div>"


def _heads(columns: Sequence[Column]) -> str:
    if not any(column.head for column in columns):
        return ""
    heads = []
    for k, column in enumerate(columns):
        style = _style(_is_left(columns, k))
        heads.append(f'<th scope="col"{style}>{escape(column.head)}</th>')
    return f"<thead><tr>{''.join(heads)}</tr></thead>"


def n_letters(table: Table) -> int:
    """Return about how many letters stand side by side in a table: of its cells, and its gaps."""
    cells = zip(*table.rows, strict=True)
    heads = (max(map(len, column.head.split()), default=0) for column in table.columns)
    return sum(
        max(head, *(len(_words(cell)) for cell in column)) + 2
        for head, column in zip(heads, cells, strict=True)
    )


def _words(cell: str | Cell) -> str:
    return cell.words if isinstance(cell, Cell) else cell


def _row(table: Table, row: Sequence[str | Cell], wide: bool) -> str:
    """Return one row; in a wide table each cell carries its head, for where the heads are gone."""
    cells = []
    for k, one in enumerate(row):
        cell = one if isinstance(one, Cell) else Cell(one)
        takes_row = "p" if wide and len(cell.words) > N_FIGURE else ""
        style = _style(_is_left(table.columns, k), cell.mark, takes_row)
        column = table.columns[k]
        head = f' data-h="{escape(column.head)}"' if wide and column.head and cell.words else ""
        small = f"<small>{escape(cell.small)}</small>" if cell.small else ""
        tag, scope = ("th", ' scope="row"') if table.row_heads and not k else ("td", "")
        cells.append(f"<{tag}{scope}{style}{head}>{escape(cell.words)}{small}</{tag}>")
    return f"<tr>{''.join(cells)}</tr>\n"


def _is_left(columns: Sequence[Column], k: int) -> bool:
    return not k or columns[k].left or columns[k].prose


def _style(left: bool, *marks: str) -> str:
    names = " ".join(name for name in ("l" if left else "", *marks) if name)
    return f' class="{names}"' if names else ""
