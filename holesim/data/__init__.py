"""Tables that travel with the package, and the demo course and its players."""
