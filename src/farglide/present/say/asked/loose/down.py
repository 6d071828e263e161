"""Down in words: where to look first for a glider that is lost on its way from now on."""

from farglide.outlook.advice import Advice
from farglide.outlook.after import Stage
from farglide.outlook.search import SearchOutlook
from farglide.present.say.asked.down import search_reply
from farglide.present.say.asked.reply import Reply
from farglide.present.say.text import FlightClock


def search_after_reply(found: SearchOutlook, advice: Advice, clock: FlightClock) -> Reply:
    """Return the first place to look, were nothing more seen of it from now on."""
    told = search_reply(found, clock)
    change = "A fix, a bearing from the side, when it was seen last: farglide search."
    if advice.stage in (Stage.GLIDING, Stage.DROPPED):
        change = f"As long as it is steered: nothing to look for. {change}"
    return told._replace(answer=_if(advice, told.answer), change=change)


def _if(advice: Advice, answer: str) -> str:
    """Return an answer with what it takes for granted."""
    if advice.stage is Stage.DOWN:
        return answer
    return f"Lost now, {answer[:1].lower()}{answer[1:]}"
