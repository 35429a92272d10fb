"""What all tests run in: output as wide as a pipe's, whatever terminal they are started from."""

import os

os.environ.pop("COLUMNS", None)
