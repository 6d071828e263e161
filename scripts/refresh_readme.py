"""Puts the demo's real answer, one screen, into README.md."""

import re
from pathlib import Path
from typing import Final

from farglide.cli.answers import answer_text
from farglide.cli.inputs import Wanted
from farglide.cli.plan import DEMO, grain_asked, make_plan
from farglide.cli.told import Told

README: Final = Path(__file__).parents[1] / "README.md"
BLOCK: Final = re.compile(r"(<!-- demo answer -->\n```text\n)(.*?)(\n```\n)", re.DOTALL)


def demo_answer() -> str:
    """Return what `farglide demo` prints, without its last line."""
    wanted = Wanted(file=DEMO, winds=None, pack=None, out=None)
    return answer_text(make_plan(wanted, grain_asked(1000, 1), Told(quiet=True)))


def readme_block(readme: str) -> str:
    """Return the demo's answer as README.md shows it."""
    found = BLOCK.search(readme)
    if found is None:
        raise SystemExit("README.md has no block after <!-- demo answer -->")
    return found[2]


if __name__ == "__main__":
    text = README.read_text(encoding="utf-8")
    screen = demo_answer()
    readme_block(text)
    README.write_text(BLOCK.sub(lambda m: m[1] + screen + m[3], text), encoding="utf-8")
