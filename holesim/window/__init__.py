"""A local browser window: what it may ask, and the answers from the engine."""
