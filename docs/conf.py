"""Settings of the documentation: built without network, warnings as errors."""

from importlib.metadata import version as installed

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
