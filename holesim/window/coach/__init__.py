"""The coach's desk: all golfers of the folder, what practice would pay them, their sheets, and one pupil."""
