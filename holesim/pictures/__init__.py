"""PNG pictures: type, backdrop, one module a kind of picture."""
