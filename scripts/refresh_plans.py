"""Puts what farglide really answers to the flights in docs/plans into docs/plans.rst."""

import re
from pathlib import Path
from textwrap import indent
from typing import Final

from farglide.cli.answers import answer_text
from farglide.cli.inputs import Wanted
from farglide.cli.plan import grain_asked, make_plan
from farglide.cli.told import Told

DOCS: Final = Path(__file__).parents[1] / "docs"
PAGE: Final = DOCS / "plans.rst"
N_DRAWS: Final = 300
NAMES: Final = ("giles", "forecast")
COMMAND: Final = r"   farglide plan docs/plans/{name}\.toml --draws {n_draws}\n\n"
BLOCK: Final = r"({command}.*?::\s+text\n\n)(.*?)(?=\n\S|\Z)"


def answer(name: str) -> str:
    """Return what `farglide plan docs/plans/NAME.toml` prints."""
    file = DOCS / "plans" / f"{name}.toml"
    wanted = Wanted(file=file, winds=None, pack=None, out=None)
    return answer_text(make_plan(wanted, grain_asked(N_DRAWS, 1), Told(quiet=True)))


def block(name: str) -> re.Pattern[str]:
    """Return what finds the answer that the page shows below the command of this flight."""
    command = COMMAND.format(name=name, n_draws=N_DRAWS)
    return re.compile(BLOCK.format(command=command), re.DOTALL)


def shown(page: str, name: str) -> str:
    """Return the answer as the page shows it."""
    found = block(name).search(page)
    if found is None:
        raise SystemExit(f"{PAGE.name} has no answer below the command for {name}")
    return "\n".join(line.removeprefix("   ") for line in found[2].rstrip().splitlines())


def refreshed(page: str) -> str:
    """Return the page with the answers of today."""
    for name in NAMES:
        shown(page, name)
        told = indent(answer(name), "   ") + "\n"
        page = block(name).sub(lambda found, told=told: found[1] + told, page)
    return page


if __name__ == "__main__":
    PAGE.write_text(refreshed(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
