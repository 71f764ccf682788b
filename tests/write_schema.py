"""Writes the JSON Schema of the timeline from the records: ``python tests/write_schema.py``."""

from __future__ import annotations

import json

from callnotes.records import Timeline
from callnotes.resources import GUIDES

FILE = GUIDES / "timeline.schema.json"


def schema() -> str:
    """The schema as it should stand in the file."""
    return json.dumps(Timeline.model_json_schema(by_alias=True), indent=2) + "\n"


if __name__ == "__main__":
    FILE.write_text(schema(), encoding="utf-8")
