"""Tables that come with the package, and the demo course and its players."""
