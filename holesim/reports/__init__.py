"""What people read in a terminal, one module a command."""
