"""After a round: what became of each drive is entered, reviewed, and learnt from."""
