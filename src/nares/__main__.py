"""``python -m nares`` is the command ``nares``."""

from nares.cli.main import main

main()
