"""Leaving: the end of a command of which something still hangs."""

import os
import sys
from contextlib import suppress
from typing import Final, NoReturn

HUNG_CODE: Final = 1


def leave() -> NoReturn:
    """End the program now, with code 1; what was said is out.

    The interpreter would wait for each thread of an executor, and for one that hangs for ever.
    """
    for stream in (sys.stdout, sys.stderr):
        with suppress(OSError, ValueError):
            stream.flush()
    os._exit(HUNG_CODE)
