"""A captain's plan: handicaps, formats, pairs, matches, order."""
