"""Runs the command line: ``python -m dutyline``."""

from dutyline.cli.main import main

if __name__ == "__main__":
    main()
