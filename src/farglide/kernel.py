"""The one way to compile a numerical kernel."""

import os
from collections.abc import Callable
from typing import Any, Final, TypeVar

from farglide.kernel_store import cache_folder

F = TypeVar("F", bound=Callable[..., Any])
Options = dict[str, Any]


_USUAL_CARE: Final = 1
"""Of the compiler's three levels of care: the higher ones compile a tenth longer, and most kernels
are not loops that can be turned into vectors."""
_MOST_CARE: Final = 3
"""For the kernels that are."""


def _prepare() -> Any:
    import numba

    config: Any = numba.config  # filled late, so that no tool knows its names
    config.CACHE_DIR = str(cache_folder())
    if "NUMBA_OPT" not in os.environ:
        config.OPT = type(config.OPT)(_USUAL_CARE)
    return numba


_numba: Final = _prepare()

# The fast-math flags that keep NaN and infinity: NaN means "no answer for this element".
_OPTIONS: Final = {
    "nogil": True,
    "error_model": "numpy",
    "fastmath": {"contract", "arcp", "nsz"},
    "no_cfunc_wrapper": True,  # nobody calls a kernel from C, and compiling the wrapper costs 8 %
}


def _refuse(kernel: Any, *_: object, **__: object) -> None:
    what = "is compiled for other kernels alone: Python cannot call it."
    raise TypeError(f"{kernel.__name__} {what} Call the checking function that asks it.")


_Closed: Final = type("_Closed", (_numba.core.registry.CPUDispatcher,), {"__call__": _refuse})
"""The kind of a kernel without a door: called from Python it says so, else the process crashed."""


def _kernel(function: F, options: Options) -> F:
    """Return `function` as a kernel that is kept in the folder of compiled ones."""
    from farglide.kernel_cache import keep  # late: numba must know its folder first

    result: F = keep(_numba.njit(**options, **_OPTIONS)(function))
    return result


def compiled(function: F) -> F:
    """Return `function` compiled: cached, without the interpreter lock, IEEE division.

    It reads and fills arrays of its callers but neither makes nor hands back one, nor does what it
    calls: so it need not count who holds an array, which takes longer than most laws and a fifth of
    all compiling. That is numba's own `_nrt`; `tests/test_kernel.py` tells when it does that no
    longer, and finds kernels that hand arrays back.
    """
    return _kernel(function, {"_nrt": False})


def _with_most_care(kernel: Any) -> Any:
    from numba.core.compiler_lock import global_compiler_lock

    compile_as_usual = kernel.compile

    def compile_it(signature: Any) -> Any:
        config = _numba.config
        with global_compiler_lock:  # two threads that ask first would restore each other's level
            usual = config.OPT
            config.OPT = type(usual)(_MOST_CARE)
            try:
                return compile_as_usual(signature)
            finally:
                config.OPT = usual

    kernel.compile = compile_it
    return kernel


def roomy(function: F) -> F:
    """Return `function` compiled as a kernel that makes arrays: room for its work."""
    # said aloud: it would take after the kernel that happens to need it first
    return _kernel(function, {"_nrt": True})


def laned(function: F) -> F:
    """Return `function` compiled as a roomy kernel whose loops over directions become vectors.

    Reach is asked in half the time; compiling takes a quarter longer than that of a roomy one.
    """
    result: F = _with_most_care(roomy(function))
    return result


def inner(function: F) -> F:
    """Return `function` compiled for other kernels alone: called from Python it raises TypeError.

    A door for Python costs a tenth of all compiling; `tests/test_kernel.py` sees to it that nothing
    but kernels names an inner one. Tests have a `door` made.
    """
    return _closed(_kernel(function, {"no_cpython_wrapper": True, "_nrt": False}))


def merged(function: F) -> F:
    """Return `function` compiled as an inner kernel, merged into the machine code of its callers.

    For the marches: to hand all of the air over at every call would take longer than the march.
    """
    options = {"forceinline": True, "no_cpython_wrapper": True, "_nrt": False}
    return _closed(_kernel(function, options))


def _closed(kernel: F) -> F:
    kernel.__class__ = _Closed
    return kernel


def is_inner(member: object) -> bool:
    """Tell whether something is a kernel that Python cannot call."""
    return isinstance(member, _Closed)


def merged_law(function: F) -> F:
    """Return `function` compiled, with a door for Python, and merged into kernels that call it."""
    return _kernel(function, {"forceinline": True, "_nrt": False})


def inlined(function: F) -> F:
    """Return `function` compiled and pasted into its callers, for one-line laws in a hot loop."""
    return _kernel(function, {"inline": "always"})


def door(kernel: F) -> F:
    """Return what Python may call in place of an inner or merged kernel: tests do."""
    result: F = _numba.njit(lambda *given: kernel(*given))
    return result
