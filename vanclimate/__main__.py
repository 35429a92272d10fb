"""Run the command line as ``python -m vanclimate``."""

from vanclimate.cli import main

if __name__ == "__main__":
    main()
