"""Asking in a ride: a question typed at its bottom line, answered beside it on a card."""

from collections.abc import Callable
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

HOW: Final = f"?, and one of: {', '.join(QUESTIONS)}; f: fault cards. Enter takes a card away."
Situated = Callable[[str | None], Situation | LooseFlight]
"""Returns the ride as a situation, with the fault card that is wanted."""


class AskingInRide:
    """Takes questions out of what is typed, and holds the card that answers the last one.

    It is worked out on a thread of its own: no fix waits for it. An answer goes away by itself
    where the flight has changed so far that it does not hold; a fault card stays until it is read.
    """

    def __init__(self) -> None:
        self.card: tuple[str, ...] = ()
        self._stays, self._told = False, Told()
        self._pool = ThreadPoolExecutor(1, thread_name_prefix="asked")
        self._future: Future[tuple[str, ...]] | None = None

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
        self.card, self._stays = ("One moment.",), text.startswith("? fault")
        try:
            self._begin(text[1:].strip(), situated, clock)
        except FarglideError as error:
            self.card, self._future = (str(error),), None
        return True

    def turn(self, told: Told) -> None:
        """Take an answer that is ready; take one away that holds no more by what is `told` now."""
        before, self._told = self._told, told
        is_pressing = told.level is Level.NOW and before.level is not Level.NOW
        if (is_pressing or told.stage != before.stage) and not (self._stays or self.is_busy):
            self.card = ()
        if self._future is not None and self._future.done():
            future, self._future = self._future, None
            error = future.exception()
            self.card = (str(error),) if error is not None else future.result()

    @property
    def is_busy(self) -> bool:
        """Tell whether a question is being answered."""
        return self._future is not None

    def close(self, within_s: float = 0.0) -> bool:
        """Let the thread end; tell whether it did, within so long."""
        self._pool.shutdown(wait=False, cancel_futures=True)
        return self._future is None or not wait([self._future], within_s).not_done

    def _begin(self, text: str, situated: Situated, clock: FlightClock) -> None:
        word, _, rest = text.partition(" ")
        if not word:
            raise AnswerError(HOW)
        name = named(word, list(QUESTIONS), "question")
        card = named(rest, sorted(CARDS), "card") if name == "fault" and rest.strip() else None
        asked = situated(card)
        self._future = self._pool.submit(_lines, QUESTIONS[name], asked, clock)


def _lines(
    question: Question, asked: Situation | LooseFlight, clock: FlightClock
) -> tuple[str, ...]:
    return (*question.answered(asked, clock).lines, "", f"As of {clock.local(asked.now_s)}.")
