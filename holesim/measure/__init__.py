"""A table from a launch monitor made a player file."""
