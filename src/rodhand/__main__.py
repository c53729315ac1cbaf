"""`python -m rodhand`: the same as the `rodhand` command."""

from rodhand.cli.main import main

if __name__ == "__main__":
    main()
