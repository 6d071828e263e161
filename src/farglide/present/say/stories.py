"""Stories in words: what a loose flight may be at, beside what its stage says."""

from typing import Final

from farglide.outlook.advice import Advice, FieldNow
from farglide.outlook.after import ShutBy, Stage, StoryName, StoryNow
from farglide.present.say.text import sentence
from farglide.sortie.words import chance_words, shares_words

STORIES: Final[dict[StoryName, str]] = {
    "carried": "still carried by the balloon",
    "floating": "floating under the balloon",
    "gliding": "gliding",
    "hands off": "circling hands off",
    "spiral": "in a spiral",
    "spin": "in a spin",
    "falling with remains": "falling with the remains",
    "down": "on the ground",
}
_SAID: Final[dict[Stage, tuple[StoryName, ...]]] = {
    Stage.DROPPED: ("gliding",),
    Stage.GLIDING: ("gliding",),
    Stage.TIED_ON: ("falling with remains",),
    Stage.UNSTEERED: ("hands off", "spiral", "spin", "falling with remains"),
    Stage.DOWN: ("down",),
}
"""The stories that a stage stands for."""
_FEW_RATIO: Final = 0.02
_ALONE: Final[dict[StoryName, str]] = {
    "hands off": "hands off",
    "spiral": "in a spiral",
    "spin": "in a spin",
    "falling with remains": "with the remains",
}
SHUT_BY: Final[dict[ShutBy, str]] = {
    "height": "too low for most winds it may meet",
    "packs": "the packs end too soon",
    "light": "the light ends too soon",
    "links": "command or picture fails",
}
"""What makes a chance too low, after a comma."""


def said_share(advice: Advice) -> str:
    """Return how likely it is at what the stage says, as the stories beside it have it.

    Empty where no story was weighed.
    """
    if not advice.stories:
        return ""
    said = _SAID.get(advice.stage, ())
    mine = [share for one, share in _told(advice) if one.story in said]
    if len(mine) == 1:
        return mine[0]
    return chance_words(
        min(sum(one.chance_ratio for one in advice.stories if one.story in said), 1.0)
    )


def _told(advice: Advice) -> list[tuple[StoryNow, str]]:
    """Return the stories that are told, each with its chance in words."""
    told = [one for one in advice.stories if one.chance_ratio >= _FEW_RATIO]
    return list(zip(told, shares_words([one.chance_ratio for one in told]), strict=True))


def story_words(advice: Advice) -> str:
    """Return what it may be at, the likeliest first; empty where the stage says as much."""
    told = _told(advice)
    said = _SAID.get(advice.stage, ())
    if len(told) == 1 and said == (told[0][0].story,):
        return ""
    return sentence(", ".join(f"{STORIES[one.story]} {share}" for one, share in told))


def alone_words(one: FieldNow) -> str:
    """Return by which story the time in hand of a field is told.

    >>> alone_words(FieldNow(name="Home", state="open", chance_ratio=0.9, open_ratio=0.9,
    ...     until_after_launch_s=None, then=None, shuts_story="spiral"))
    'in a spiral'
    """
    return _ALONE.get(one.shuts_story or "hands off", "hands off")
