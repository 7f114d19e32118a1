"""The version, in a module of its own so that every package may import it."""

__version__ = "0.1.0"
