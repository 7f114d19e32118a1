"""What people start: the command line, and plans for many at once."""
