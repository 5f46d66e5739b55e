"""Promises: which kilograms go to which, what is short, and how sure each is."""
