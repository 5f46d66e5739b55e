"""pinset: a spawn laboratory and grow rooms run as one chain."""

__version__ = "0.1.0"
