"""The formats of a round, each a class that plans it."""
