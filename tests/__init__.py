"""The checks. Folders mirror the packages; `agreement` holds what is checked against the world outside."""
