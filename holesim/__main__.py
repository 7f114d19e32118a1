"""`python -m holesim`."""

from holesim.app.cli import main

main()
