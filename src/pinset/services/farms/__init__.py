"""A farm as a folder: new, loaded, opened, checked, copied, and who may come in."""
