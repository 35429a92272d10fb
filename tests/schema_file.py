"""Write the schema that is shipped from the models: ``python -m tests.schema_file --write``."""

from __future__ import annotations

import sys

from vanclimate.report.sheet_words import schema_text
from vanclimate.van.new_sheet import SCHEMA

if __name__ == "__main__":
    if "--write" in sys.argv:
        SCHEMA.write_text(schema_text(), encoding="utf-8", newline="\n")
    else:
        print(schema_text(), end="")
