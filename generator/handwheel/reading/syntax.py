"""What the YAML parser stumbles over, said in plain words: where it really began, and what would be right.

Libyaml names the token that it wanted; a person wants to know which line to mend. Each rule below reads the parser's
problem, then the line itself.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

import yaml

from handwheel.reading import defects
from handwheel.reading.messages import Message
from handwheel.reading.tree import Scalar, is_simple_word
from handwheel.records.places import Place

_LONGEST_KEY = 1_024
"""Characters; YAML 1.2.2, section 7.4.2."""
_CLOSING = {"[": "]", "{": "}"}
_OPENING = {"]": "[", "}": "{"}


@dataclass(frozen=True)
class _Trouble:
    """The parser's words and the text around them."""

    lines: list[str]
    file: str
    problem: str
    context: str
    at: Place
    start: Place
    """Where the thing began in which the parser stumbled; the same as `at` if it does not say."""
    last: Scalar | None
    """The last text or key that could still be read."""

    @property
    def line(self) -> str:
        return self.lines[self.at.line - 1] if self.at.line <= len(self.lines) else ""

    @property
    def before(self) -> str:
        """What stands on the line before the place."""
        return self.line[: self.at.column - 1]

    @property
    def here(self) -> str:
        return self.line[self.at.column - 1 :]

    @property
    def opened(self) -> str:
        """The character with which the thing began."""
        line = self.lines[self.start.line - 1] if self.start.line <= len(self.lines) else ""
        return line[self.start.column - 1 : self.start.column]

    @property
    def above(self) -> int:
        """Index of the nearest line above that says something, or -1."""
        return next((n for n in range(self.at.line - 2, -1, -1) if _says_something(self.lines[n])), -1)


def syntax_message(error: yaml.YAMLError, text: str, file: str, last: Scalar | None = None) -> Message:
    """One message for the error that ended the reading of a file."""
    trouble = _trouble(error, text, file, last)
    tab = re.match(r" *(?=\t)", trouble.line)
    if tab and not trouble.problem.startswith("found unexpected end"):
        return defects.TAB_INDENTS.at(Place(file, trouble.at.line, tab.end() + 1))
    for problem, context, rule in _RULES:
        if problem in trouble.problem and context in trouble.context:
            return rule(trouble)
    return defects.NOT_YAML.at(trouble.at, problem=trouble.problem)


def _trouble(error: yaml.YAMLError, text: str, file: str, last: Scalar | None) -> _Trouble:
    lines = text.split("\n")

    def place(mark: yaml.Mark | None, other: Place) -> Place:
        if mark and mark.line >= len(lines):  # the parser counts a line more at the end of a file
            return Place(file, len(lines), len(lines[-1]) + 1)
        return Place(file, mark.line + 1, mark.column + 1) if mark else other

    at = place(getattr(error, "problem_mark", None), Place(file))
    start = place(getattr(error, "context_mark", None), at)
    problem = getattr(error, "problem", None) or str(error)
    return _Trouble(lines, file, problem, getattr(error, "context", None) or "", at, start, last)


def _says_something(line: str) -> bool:
    return bool(line.strip()) and not line.lstrip().startswith("#")


def _indent(line: str) -> int:
    """Columns before the first key of a line; the marks of list items are passed over."""
    return len(line) - len(re.sub(r"^ *(- +)*", "", line))


def _columns(t: _Trouble) -> str:
    """The columns in which keys of the lines above begin, innermost last."""
    columns: list[int] = []
    for n in range(t.at.line - 2, -1, -1):
        line = t.lines[n]
        if _says_something(line) and (not columns or _indent(line) + 1 < columns[0]):
            columns.insert(0, _indent(line) + 1)
    return "column " + " or ".join(map(str, columns or [1]))


def _value_where_none_may_be(t: _Trouble) -> Message:
    """A second `: ` on a line; a key too far in; or a line above without its colon."""
    first = re.search(r":(?= )", t.before)
    word = t.before.strip().removeprefix("- ").strip()
    if first or not is_simple_word(word.strip("'\"")):
        return defects.COLON_IN_TEXT.at(t.at)
    if t.above < 0 or len(t.before) > _LONGEST_KEY:
        return defects.KEY_TOO_LONG.at(Place(t.file, t.at.line, _indent(t.line) + 1))
    above = t.lines[t.above]
    if re.search(r":(\s|$)", above) and _indent(t.line) > _indent(above):
        key = above.strip().removeprefix("- ").split(":")[0]
        return defects.KEY_TOO_DEEP.at(Place(t.file, t.at.line, _indent(t.line) + 1), above=key, columns=_columns(t))
    return _no_colon(Place(t.file, t.above + 1, _indent(above) + 1), above.strip())


def _no_colon(place: Place, text: str) -> Message:
    if re.fullmatch(r"[\w-]+:\S.*", text):
        return defects.NO_SPACE_AFTER_COLON.at(place, text=text, spaced=text.replace(":", ": ", 1))
    return defects.NO_COLON.at(place)


def _key_not_found(t: _Trouble) -> Message:
    return defects.NO_COLON.at(t.start) if t.start.line > len(t.lines) else _no_colon(t.start, _rest(t, t.start))


def _rest(t: _Trouble, place: Place) -> str:
    return t.lines[place.line - 1][place.column - 1 :].rstrip()


def _key_wanted(t: _Trouble) -> Message:
    """Text after a closing quote or bracket; a list item among keys; or a line that is in line with nothing."""
    if t.here[:1] in _OPENING:
        return defects.BRACKET_TOO_MANY.at(t.at, found=t.here[0])
    last = t.before.rstrip()[-1:]
    if last and last in "'\"":
        if t.last and t.last.quoted and t.last.place.line < t.at.line:
            return defects.UNCLOSED_QUOTE.at(t.last.place, ((t.at, "a quote before this closes it"),), mark=last)
        return defects.TEXT_AFTER_QUOTE.at(t.at, mark=last, twice="''" if last == "'" else '\\"')
    if last in _OPENING:
        return defects.TEXT_AFTER_BRACKET.at(t.at, mark=last)
    if last:
        return defects.NOT_YAML.at(t.at, problem=t.problem)
    if not re.match(r"-(\s|$)", t.here):
        return defects.BAD_INDENTATION.at(t.at, columns=_columns(t))
    above = t.lines[t.above]
    if above.lstrip().startswith("- "):
        return defects.BAD_INDENTATION.at(t.at, columns=f"column {above.index('-') + 1}")
    return defects.ITEM_AMONG_KEYS.at(t.at)


def _item_wanted(t: _Trouble) -> Message:
    if t.before.strip():
        return _key_wanted(t)
    if re.match(r"-(\s|$)", t.here):
        return defects.BAD_INDENTATION.at(t.at, columns=f"column {t.start.column}")
    return defects.KEY_AMONG_ITEMS.at(t.at)


def _bracket_open(t: _Trouble) -> Message:
    """Within brackets: a colon in a text, the other bracket, text after a quote; else they were never closed."""
    opened = t.opened if t.opened in _CLOSING else ("[" if "]" in t.problem else "{")
    related = ((t.start, "it opens here"),)
    if t.here[:1] in _OPENING:
        words = {"found": t.here[0], "opened": opened, "wanted": _CLOSING[opened]}
        return defects.BRACKET_MISMATCH.at(t.at, related, **words)
    if t.at.line == t.start.line and t.here.startswith(":"):
        return defects.COLON_IN_TEXT.at(t.at)
    last = t.before.rstrip()[-1:]
    if t.at.line == t.start.line and t.here and last and last in "'\"]}":
        return _key_wanted(t)
    return defects.UNCLOSED_BRACKET.at(
        t.start, ((t.at, "it is still open here"),), opened=opened, wanted=_CLOSING[opened]
    )


def _quote_open(t: _Trouble) -> Message:
    return defects.UNCLOSED_QUOTE.at(t.start, ((t.at, "it is still open here"),), mark=t.opened or "a quote")


def _escape(t: _Trouble) -> Message:
    at = t.before.rfind("\\") + 1 or t.at.column
    found = re.match(r"\\[xuU][0-9a-fA-F]*|\\.", t.line[at - 1 :])
    return defects.BAD_ESCAPE.at(Place(t.file, t.at.line, at), escape=found[0] if found else "\\")


def _begins_wrongly(t: _Trouble) -> Message:
    return defects.RESERVED_CHARACTER.at(t.start, character=_rest(t, t.start)[:1])


def _question_mark(t: _Trouble) -> Message:
    return defects.RESERVED_CHARACTER.at(t.at, character=t.here[:1])


def _tab(t: _Trouble) -> Message:
    return defects.TAB_INDENTS.at(t.at)


def _tag(t: _Trouble) -> Message:
    return defects.TAG.at(t.start, tag=_rest(t, t.start).split(" ")[0])


def _content_wanted(t: _Trouble) -> Message:
    return defects.WANTS_CONTENT.at(t.at, found=re.split(r"\s", t.here or " ")[0] or "the end of the line")


def _document_wanted(t: _Trouble) -> Message:
    if t.lines[0].startswith("%"):
        return defects.DIRECTIVE.at(Place(t.file))
    last = t.before.rstrip()[-1:]
    return _key_wanted(t) if last else defects.TEXT_AFTER_END.at(t.at)


_RULES: tuple[tuple[str, str, Callable[[_Trouble], Message]], ...] = (
    ("found a tab character", "", _tab),
    ("maximum nesting depth", "", lambda t: defects.TOO_DEEP.at(t.at, limit="1,000")),
    ("mapping values are not allowed", "", _value_where_none_may_be),
    ("mapping keys are not allowed", "", _question_mark),
    ("block sequence entries are not allowed", "", lambda t: defects.ITEM_IN_LINE.at(t.at)),
    ("could not find expected ':'", "", _key_not_found),
    ("did not find expected key", "", _key_wanted),
    ("did not find expected '-' indicator", "", _item_wanted),
    ("did not find expected ',' or", "", _bracket_open),
    ("found unexpected end of stream", "quoted scalar", _quote_open),
    ("found unexpected document indicator", "quoted scalar", _quote_open),
    ("", "parsing a quoted scalar", _escape),
    ("alphabetic or numeric character", "alias", _begins_wrongly),
    ("alphabetic or numeric character", "anchor", _begins_wrongly),
    ("cannot start any token", "", _begins_wrongly),
    ("comment or line break", "block scalar", lambda t: defects.TEXT_AFTER_BLOCK.at(t.at, mark=t.opened)),
    ("tag", "", _tag),
    ("", "tag", _tag),
    ("did not find expected node content", "", _content_wanted),
    ("<document start>", "", _document_wanted),
    ("", "directive", lambda t: defects.DIRECTIVE.at(t.start)),
    ("directive", "", lambda t: defects.DIRECTIVE.at(t.at)),
    ("incompatible YAML document", "", lambda t: defects.DIRECTIVE.at(t.at)),
)
"""The parser's problem, its context (parts of both are enough), and what makes the message; the first that fits."""
