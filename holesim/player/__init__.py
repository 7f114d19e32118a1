"""Who hits: the player file, its defaults and how unsure they are, how to set up."""
