"""`python -m partway` is the command."""

from partway.cli import main

if __name__ == "__main__":
    main()
