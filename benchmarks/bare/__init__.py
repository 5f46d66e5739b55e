"""The bare framework: one view, one indexed query, one small template. The peer of the pages."""
