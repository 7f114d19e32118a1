"""Drawing of courses in the window."""
