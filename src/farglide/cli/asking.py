"""Asking in a ride: a question typed at its bottom line, answered beside it on a card."""

from collections.abc import Callable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor, wait
from typing import Final

from farglide.cli.questions import QUESTIONS, Question
from farglide.errors import AnswerError, FarglideError
from farglide.live.asked.situation import Situation
from farglide.live.loosened.flight import LooseFlight
from farglide.live.ride.told import Told
from farglide.outlook.advice import Level
from farglide.present.say.cards import CARDS
from farglide.present.say.text import FlightClock
from farglide.track.typed.known import named

HOW: Final = "Type ? and a word, as in: ? park. f lists the fault cards."
_ALL: Final = "? alone lists all questions."
_ALL_CARDS: Final = "f alone lists all cards."
Situated = Callable[[str | None], Situation | LooseFlight]
"""Returns the ride as a situation, with the fault card that is wanted."""


class AskingInRide:
    """Takes questions out of what is typed, and holds the card that answers the last one.

    It is worked out on a thread of its own: no fix waits for it. An answer goes away by itself
    where the flight has changed so far that it does not hold; a fault card stays until it is read.
    What cannot be asked leaves the card that stands; why, and why there is no answer, is told by
    `refusal`.
    """

    def __init__(self) -> None:
        self.card: tuple[str, ...] = ()
        self._refusal = ""
        self._stays, self._told = False, Told()
        self._pool = ThreadPoolExecutor(1, thread_name_prefix="asked")
        self._future: Future[tuple[str, ...]] | None = None
        self._asked: list[Future[tuple[str, ...]]] = []  # what the thread is at, waited for or not

    def takes(self, line: str, situated: Situated, clock: FlightClock) -> bool:
        """Take a line if it is a question, or takes the card away; tell whether it was."""
        text = line.strip().casefold()
        if not text and self.card:
            self.card = ()
            return True
        word, _, rest = text.partition(" ")
        if word in ("f", "fault"):
            text = f"? fault {rest}"
        if not text.startswith("?"):
            return False
        try:
            self._begin(text[1:].strip(), situated, clock)
        except FarglideError as error:
            self._refusal = str(error)
        return True

    def refusal(self) -> str:
        """Return why the last question has no answer, once; empty where it has one."""
        words, self._refusal = self._refusal, ""
        return words

    def turn(self, told: Told) -> None:
        """Take an answer that is ready; take one away that holds no more by what is `told` now."""
        before, self._told = self._told, told
        is_pressing = told.level is Level.NOW and before.level is not Level.NOW
        if (is_pressing or told.stage != before.stage) and not (self._stays or self.is_busy):
            self.card = ()
        if self._future is not None and self._future.done():
            future, self._future = self._future, None
            error = future.exception()
            if isinstance(error, FarglideError):
                self.card, self._refusal = (), str(error)
            else:
                self.card = (str(error),) if error is not None else future.result()

    @property
    def is_busy(self) -> bool:
        """Tell whether a question is being answered."""
        return self._future is not None

    def close(self, within_s: float = 0.0) -> bool:
        """Let the thread end; tell whether it did, within so long.

        It may be at a question that nobody waits for any more, behind which others were asked.
        """
        self._pool.shutdown(wait=False, cancel_futures=True)
        begun = [one for one in self._asked if not one.cancelled()]
        return not wait(begun, within_s).not_done

    def _begin(self, text: str, situated: Situated, clock: FlightClock) -> None:
        word, _, rest = text.partition(" ")
        if not word:
            self.card, self._stays, self._future = tuple(_listed()), True, None
            return
        name = _named(word, list(QUESTIONS), "question", _ALL)
        is_card = name == "fault" and bool(rest.strip())
        card = _named(rest, sorted(CARDS), "fault card", _ALL_CARDS) if is_card else None
        asked = situated(card)
        self.card, self._stays = ("One moment.",), name == "fault"
        self._future = self._pool.submit(_lines, QUESTIONS[name], asked, clock)
        self._asked = [*(one for one in self._asked if not one.done()), self._future]


def _named(typed: str, names: list[str], what: str, all_of: str) -> str:
    """Return the one name that is meant; else say where all of them stand."""
    try:
        return named(typed, names, what)
    except AnswerError as error:
        raise AnswerError(f"{error} {all_of}") from None


def _listed() -> Iterator[str]:
    """Yield all questions, and what each is about."""
    yield HOW
    yield from (f"  {name:<8} {one.about}" for name, one in QUESTIONS.items())


def _lines(
    question: Question, asked: Situation | LooseFlight, clock: FlightClock
) -> tuple[str, ...]:
    return tuple(question.answered(asked, clock).in_ride)
