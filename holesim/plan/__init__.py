"""Which strike and which aim on each tee: the search, the one decision, how sure it is, the plan file."""
