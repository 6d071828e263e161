"""The second sheet: every part of the plan in the order of use, some of them side by side."""

from typing import Final

from farglide.outlook.outlook import Outlook
from farglide.present.part import Part
from farglide.present.say import launch
from farglide.present.say.answer import answer_parts
from farglide.present.say.gains import BETTER_HEAD, UNKNOWNS_HEAD, WORSE_HEAD

ORDER: Final = (
    (launch.TITLE,),
    ("Release", "The end of the day"),
    ("If nobody steers",),
    ("Car and links", "No picture, still on the line"),
    ("Picture worse than it should be",),
    ("If a link is weaker",),
    ("Where to aim",),
    ("Where the picture is lost",),
    ("Barriers on the way home",),
    ("Burst, the glider still tied on", "Waiting with the packs on"),
    (BETTER_HEAD, WORSE_HEAD),
    (UNKNOWNS_HEAD,),
    ("Each field, if released then",),
    ("Levels",),
    ("What to fly, by height",),
    ("The glider by height",),
)
LAST: Final = ("Notes", "Cautions")
ON_THE_CARD: Final = ("Fill",)
N_NARROW: Final = 4  # columns that half a sheet holds


def sheet_groups(outlook: Outlook) -> list[list[Part]]:
    """Return the parts in groups that stand side by side; a part without a place comes late."""
    parts = {part.title: part for part in answer_parts(outlook) if part.is_printed}
    placed = {title for group in (*ORDER, LAST, ON_THE_CARD) for title in group}
    late = [(title,) for title in parts if title not in placed]
    groups = ([parts[t] for t in group if t in parts] for group in (*ORDER, *late, LAST))
    return [side for group in groups for side in _beside(group)]


def _beside(group: list[Part]) -> list[list[Part]]:
    """Return a group as it is, or each part alone where one of them needs the width."""
    if any(part.table and len(part.table.columns) > N_NARROW for part in group):
        return [[part] for part in group]
    return [group] if group else []
