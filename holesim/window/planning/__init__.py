"""The plan view of the window: what a page asks of a hole, and what it is answered."""
