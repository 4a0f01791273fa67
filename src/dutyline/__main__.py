"""``python -m dutyline`` is the command line."""

from dutyline.cli.main import main

if __name__ == "__main__":
    main()
