"""Run the program as `python -m fieldlog`."""

from fieldlog.cli import main

main()
