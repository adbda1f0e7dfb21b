"""Gaugewalk: the pump watch-keeper's bench."""

__version__ = "0.1.0"
