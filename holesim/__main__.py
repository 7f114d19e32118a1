"""`python -m holesim`."""

from holesim.cli import main

main()
