"""`python -m holesim`."""

from holesim.app.cli.main import main

main()
