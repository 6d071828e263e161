"""Dialogue: the answers so far, the part that comes next, and what is wrong with an answer."""

from collections.abc import Sequence
from copy import deepcopy
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Final

from farglide.errors import AnswerError
from farglide.flightfile.asked.parts import Document, Turn
from farglide.flightfile.asked.questions import TITLES, script
from farglide.flightfile.asked.typed import Keys
from farglide.flightfile.flightfile import understood

LEFT_OUT: Final = "-"
"""Typed where an earlier answer would be kept: leave it out after all."""
_NOTHING: Final = (LEFT_OUT, "no", "none", "nothing", "skip", "unknown", "not known")
"""As good as an empty answer, where that may be and where they are no answer themselves."""
_MEANWHILE: Final[Document] = {
    "flight": {"launch_at": datetime(2027, 6, 15, 12, tzinfo=UTC)},
    "launch": {"lat_deg": 45.0, "lon_deg": 0.5},
    "balloon": {"mass_kg": 1.0, "gas": "helium"},
    "glider": {"mass_kg": 0.5},
}
"""Stands for sections that were not asked yet, while those that were are looked at."""

Slot = tuple[int, str, int]
"""A part by its question, its key, and how often that was asked before."""


@dataclass(slots=True)
class Dialogue:
    """A person's answers, in order; everything else follows from them.

    `earlier`: what was answered to a part before it was asked again; an empty answer keeps it.
    """

    answers: list[str] = field(default_factory=list)
    earlier: dict[Slot, str] = field(default_factory=dict)
    told: set[str] = field(default_factory=set)

    @property
    def turn(self) -> Turn | None:
        """Return what is to be answered now, None when all is."""
        return _replayed(self.answers)[1]

    @property
    def document(self) -> Document:
        """Return what the answers so far put into the flight file."""
        return _stated(_replayed(self.answers)[0])

    @property
    def kept(self) -> str:
        """Return what was answered before to the part that is asked now; empty if nothing."""
        turns = _turns(self.answers)
        return self.earlier.get(_slots(turns)[-1], "")

    def answer(self, said: str) -> list[str]:
        """Take an answer; return what to tell about the question that it ends.

        Raises AnswerError with the reason: the part is asked again, or with all parts of its
        question where it is those together that cannot be.
        """
        turn = self.turn
        if turn is None:
            return []
        said = said.strip() or self.kept
        said = "" if _is_nothing(turn, said) else said
        _taken(turn, said)
        self.answers.append(said)
        following = self.turn
        if following is not None and following.question == turn.question:
            return []
        problems, notes = understood(_whole(self.document))
        if problems:
            self._ask_again(turn.question)
            raise AnswerError(" ".join(str(one) for one in problems))
        new = [note for note in notes if not note.startswith("No ") and note not in self.told]
        self.told |= set(new)
        return new

    def back(self) -> None:
        """Take the last answer back; it is kept as the earlier one."""
        if self.answers:
            self._forget(len(self.answers) - 1)

    def _ask_again(self, question: int) -> None:
        turns = _turns(self.answers)
        self._forget(next(i for i, turn in enumerate(turns) if turn.question == question))

    def _forget(self, first: int) -> None:
        slots = _slots(_turns(self.answers))
        for slot, said in zip(slots[first:], self.answers[first:], strict=False):
            self.earlier[slot] = said
        del self.answers[first:]


def title(turn: Turn) -> str:
    """Return the question that a part belongs to."""
    return f"{turn.question} of {len(TITLES)}. {TITLES[turn.question - 1]}"


def _is_nothing(turn: Turn, said: str) -> bool:
    word = said.casefold()
    return bool(turn.part.blank) and word in _NOTHING and word not in turn.part.words


def _taken(turn: Turn, said: str) -> Keys:
    """Return the keys of an answer; an empty one is left out where that may be."""
    if said:
        return turn.part.take(said)
    if turn.part.blank:
        return {}
    raise AnswerError(f"An answer is needed here: {turn.part.limits}.")


def _replayed(answers: Sequence[str]) -> tuple[Document, Turn | None]:
    """Return the document after some answers, and the part that comes next."""
    doc: Document = {}
    asking = script(doc)
    try:
        turn = next(asking)
        for said in answers:
            turn = asking.send(_taken(turn, said))
    except StopIteration:
        return doc, None
    return doc, turn


def _turns(answers: Sequence[str]) -> list[Turn]:
    """Return the parts that were answered, and the next one."""
    asking = script({})
    turns = [next(asking)]
    try:
        for said in answers:
            turns.append(asking.send(_taken(turns[-1], said)))
    except StopIteration:
        pass
    return turns


def _slots(turns: Sequence[Turn]) -> list[Slot]:
    found: list[Slot] = []
    for turn in turns:
        name = turn.question, turn.part.ask
        found.append((*name, sum(slot[:2] == name for slot in found)))
    return found


def _stated(doc: Document) -> Document:
    """Return a document without sections of which nothing was stated."""
    return {section: keys for section, keys in doc.items() if keys}


def _whole(doc: Document) -> Document:
    """Return a document with what stands for sections that were not asked yet."""
    whole = deepcopy(_MEANWHILE)
    for section, keys in doc.items():
        whole[section] = {**whole.get(section, {}), **keys} if isinstance(keys, dict) else keys
    for pair in ({"mass_kg", "mass_g"},):
        for section in ("balloon", "glider"):
            if len(pair & whole[section].keys()) == 2:
                del whole[section]["mass_kg"]
    return whole
