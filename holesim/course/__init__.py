"""Where: a GeoJSON file read as holes and areas, the map of the ground, and courses drawn from notes."""
