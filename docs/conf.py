"""Settings of the documentation: built without network, warnings as errors."""

from importlib.metadata import version as installed
from typing import Any, get_type_hints

import numpy as np

from farglide.kernel import is_inner

project = "farglide"
author = "the farglide contributors"
release = version = installed("farglide")
extensions = ["sphinx.ext.autodoc"]
exclude_patterns = ["_build"]
html_theme = "furo"
html_title = f"farglide {version}"
html_show_sourcelink = False
autodoc_member_order = "bysource"
autodoc_typehints = "none"  # units stand in the names; types in the signatures would only repeat
python_maximum_signature_line_length = 88


def setup(app: Any) -> None:
    """Leave out of the functions what a program must not call."""
    app.connect("autodoc-skip-member", _skipped)


def _skipped(_app: Any, _what: str, _name: str, member: Any, skip: bool, _options: Any) -> bool:
    return skip or not can_be_called(member)


def can_be_called(member: Any) -> bool:
    """Tell whether Python may call something: a kernel only if it takes numbers alone.

    Inner ones have no door, and those that take arrays do not look whether their lengths fit.
    """
    if not hasattr(member, "py_func"):
        return True
    return not is_inner(member) and not _holds_array(get_type_hints(member.py_func).values())


def _holds_array(kinds: Any) -> bool:
    return any(
        getattr(kind, "__origin__", kind) is np.ndarray
        or (hasattr(kind, "_fields") and _holds_array(get_type_hints(kind).values()))
        for kind in kinds
    )
