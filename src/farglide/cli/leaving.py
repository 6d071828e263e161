"""Leaving: the end of a command of which something still hangs."""

import os
from typing import Final, NoReturn

from farglide.cli.terminal import flush

HUNG_CODE: Final = 1


def leave() -> NoReturn:
    """End the program now, with code 1; what was said is out.

    The interpreter would wait for each thread of an executor, and for one that hangs for ever.
    """
    flush()
    os._exit(HUNG_CODE)
