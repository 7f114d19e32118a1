"""What follows a shot: expected strokes to hole out, dispersion, skill, score chances."""
