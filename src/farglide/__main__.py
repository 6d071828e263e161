"""The command line for `python -m farglide`."""

from farglide.cli.main import run

if __name__ == "__main__":
    run()
