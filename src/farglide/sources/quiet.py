"""Quiet: what libraries of foreign formats would print is kept from the answer."""

import ctypes
import io
import logging
import os
from collections.abc import Iterator
from contextlib import contextmanager, redirect_stderr, redirect_stdout, suppress
from typing import Final

_OUTPUTS: Final = (1, 2)


def _flush_c() -> None:
    """Let go what C has printed into its own store: into a pipe it would come at the very end."""
    with suppress(OSError, AttributeError, TypeError):  # a system whose C is not found like that
        ctypes.CDLL(None).fflush(None)


@contextmanager
def quiet() -> Iterator[None]:
    """Keep all that is printed within from standard output and standard error.

    What it says is in the error that follows, or of no use; an answer in JSON must stay one.
    """
    kept = {}
    nowhere = os.open(os.devnull, os.O_WRONLY)
    level = logging.root.manager.disable
    logging.disable(logging.CRITICAL)
    try:
        for output in _OUTPUTS:
            with suppress(OSError):  # closed by the shell: nothing to keep
                kept[output] = os.dup(output)
                os.dup2(nowhere, output)
        with redirect_stdout(io.StringIO()), redirect_stderr(io.StringIO()):
            yield
    finally:
        _flush_c()
        logging.disable(level)
        for output, handle in kept.items():
            os.dup2(handle, output)
            os.close(handle)
        os.close(nowhere)
