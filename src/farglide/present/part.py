"""Part: one block of an answer, made once and shown in a terminal and on paper."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple


class Strong(str):
    """Words that an eye should catch first."""

    __slots__ = ()


Fact = str | tuple[str, ...]
"""One thing to say; in pieces where some of them are strong."""


class Cell(NamedTuple):
    """One cell: its words, smaller ones beneath, and how it is marked on paper."""

    words: str
    small: str = ""
    mark: str = ""


class Column(NamedTuple):
    """One column: its head, and how it stands in a terminal and on paper."""

    head: str
    width: int = 0  # in a terminal; negative: flush left; 0: left out
    left: bool = False  # flush left on paper; the first column always is
    prose: bool = False  # flush left, and long cells take more lines
    short: str | None = None  # head in a terminal, where it is another


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Rows under heads."""

    columns: Sequence[Column]
    rows: Sequence[Sequence[str | Cell]]
    over: str = ""  # a line over the heads, in a terminal
    rule: bool = False  # heads stand over a rule, also where there are no rows
    row_heads: bool = False
    kind: str = ""  # a class of its own on paper


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A block: its title, and facts or a table or both.

    A terminal has the facts, then what the table has room for. Paper has the table, or else the
    facts; a part without a title is for a terminal alone, since the card says the same larger.
    """

    title: str = ""
    note: str = ""  # beside the title on paper
    head: str | None = None  # the title in a terminal, where it is another
    facts: Sequence[Fact] = ()
    paper: Sequence[Fact] = ()  # facts on paper, where they are others or stand by a table
    table: Table | None = None
    after: Sequence[str] = ()  # under the table, in a terminal
    margin: int = 2  # of the lines under the title, in a terminal
    long: bool = False  # may break across pages

    @property
    def on_paper(self) -> Sequence[Fact]:
        """Return the facts that paper shows."""
        return self.paper or (() if self.table else self.facts)

    @property
    def is_printed(self) -> bool:
        """Tell whether paper has anything to show of it."""
        return bool(self.title and (self.on_paper or (self.table and self.table.rows)))
