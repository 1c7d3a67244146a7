"""`python -m steepboard` is the same as `steepboard`."""

from steepboard.cli.main import main

if __name__ == "__main__":
    main()
