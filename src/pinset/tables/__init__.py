"""Published values, packaged: every row with its unit, source, place and quality."""
