"""How the documentation is built."""

from pinset import __version__

project = "pinset"
copyright = "the pinset authors, Apache-2.0"
release = version = __version__
extensions = ["myst_parser"]
myst_enable_extensions = ["colon_fence", "deflist", "dollarmath"]
myst_heading_anchors = 3
html_theme = "furo"
html_title = f"pinset {__version__}"
exclude_patterns = ["_build"]
