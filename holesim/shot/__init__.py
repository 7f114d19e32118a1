"""One shot by its stages, each with its kernel: delivery, impact, flight, landing, bounce, relief."""
