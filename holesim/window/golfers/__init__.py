"""The golfers of the folder: their files, measured drives, and what changed between sessions."""
