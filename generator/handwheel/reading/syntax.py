"""What the YAML parser stumbles over, said in plain words."""

from __future__ import annotations

import yaml

from handwheel.reading.messages import Messages
from handwheel.records.places import Place


def say_syntax_error(error: yaml.YAMLError, text: str, file: str, messages: Messages) -> None:
    """Leave one message for the error that ended the reading of a file."""
    mark = getattr(error, "problem_mark", None)
    place = Place(file, mark.line + 1, mark.column + 1) if mark else Place(file)
    problem = getattr(error, "problem", None) or str(error)
    messages.add("not-yaml", place, f"this cannot be read as YAML: {problem}", "")
