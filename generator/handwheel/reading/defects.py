"""The defects that YAML itself can have here, each with its code and its words in one place."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from handwheel.reading.messages import Message, nearest
from handwheel.reading.tree import Scalar
from handwheel.records.places import Place

CONTROL = re.compile("[^\t\n -~\xa0-\u2027\u202a-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]")
"""Not printable in the sense of YAML 1.2.2, production 1, or counted as a line break by some readers only."""

_WORD_COLON_TEXT = re.compile(r"[\w-]+:[^\s:/].*")


@dataclass(frozen=True)
class Defect:
    """A code, what is wrong and what would be right; words in braces are filled in for each message."""

    code: str
    what: str
    right: str

    def at(self, place: Place, related: Iterable[tuple[Place, str]] = (), /, **words: object) -> Message:
        """The message for one place."""
        return Message(self.code, place, _filled(self.what, words), _filled(self.right, words), related=tuple(related))


def _filled(sentence: str, words: dict[str, object]) -> str:
    return re.sub(r"\{(\w+)\}", lambda match: str(words[match[1]]), sentence)


_QUOTES = "the whole text in quotes"
_SPACES = "spaces, as many as the lines beside it have"

BAD_ESCAPE = Defect(
    "bad-escape", "'{escape}' means nothing in double quotes", "single quotes, or '\\\\' for one backslash"
)
BAD_INDENTATION = Defect(
    "bad-indentation", "this line is in line with nothing above it", "the line to begin in {columns}"
)
BRACKET_MISMATCH = Defect("bracket-mismatch", "'{found}' closes what '{opened}' opened", "'{wanted}'")
BRACKET_TOO_MANY = Defect("bracket-too-many", "'{found}' closes nothing", "the line without it, or the text in quotes")
COLON_IN_TEXT = Defect("colon-in-text", "a colon and a space inside a text begin a new key", _QUOTES)
CONTROL_CHARACTER = Defect("control-character", "the character U+{code} cannot stand in a text", "the text without it")
DIRECTIVE = Defect("directive", "a line that begins with '%' has no meaning here", "the file without that line")
DUPLICATE_ANCHOR = Defect("duplicate-anchor", "'&{name}' names two things", "another name for one of them")
DUPLICATE_KEY = Defect("duplicate-key", "the key '{key}' stands twice in one place", "each key once")
EMPTY_KEY = Defect("empty-key", "the key is empty ('~' and 'null' count as empty)", "a word, then a colon and a space")
ITEM_AMONG_KEYS = Defect("item-among-keys", "a list item stands where a key is wanted", "a key, or the item further in")
ITEM_IN_LINE = Defect(
    "item-in-line", "a list item cannot begin on the line of its key", "the item on the next line, or '[..]'"
)
ITEM_IN_TEXT = Defect(
    "item-in-text", "this list item is read as part of the text above it", "no text above, or all in quotes"
)
KEY_AMONG_ITEMS = Defect(
    "key-among-items", "a key stands where a list item is wanted", "'- ' before it, or another indentation"
)
KEY_IS_NO_WORD = Defect(
    "key-is-no-word", "something else stands where a key is wanted", "a word, then a colon and a space"
)
KEY_TOO_DEEP = Defect(
    "key-too-deep", "this key is further in than '{above}', which has a text already", "the line to begin in {columns}"
)
KEY_TOO_LONG = Defect("key-too-long", "this is too long for a key", "a word before the colon, or the text in quotes")
MERGE_KEY = Defect("merge-key", "'<<' would copy keys in from elsewhere", "the keys written out here")
NO_COLON = Defect(
    "no-colon", "this line has no colon and space", "a key, then a colon and a space; or the text in quotes"
)
NO_KEYS = Defect("no-keys", "the file holds {kind} where keys are wanted", "a key at the beginning of the first line")
NO_SPACE_AFTER_COLON = Defect("no-space-after-colon", "no space after the colon in '{text}'", "'{spaced}'")
NOT_YAML = Defect("not-yaml", "this cannot be read as YAML ({problem})", "one key a line, the text in quotes")
RECURSIVE_ALIAS = Defect(
    "recursive-alias", "'*{name}' stands inside '&{name}', which it repeats", "the text written out"
)
RESERVED_CHARACTER = Defect("reserved-character", "a text cannot begin with '{character}'", _QUOTES)
SECOND_DOCUMENT = Defect("second-document", "a second document begins here", "no line '---' here, or two files")
TAB_INDENTS = Defect("tab-indents", "a tab stands where a line is indented", _SPACES)
TAG = Defect(
    "tag",
    "'{tag}' gives a type, and what is written is always text",
    "the text without it; in quotes if it begins with '!'",
)
TEXT_AFTER_BLOCK = Defect(
    "text-after-block-mark", "text follows '{mark}' on its line", "the text on the next line, or in quotes"
)
TEXT_AFTER_BRACKET = Defect("text-after-bracket", "text goes on after the closing '{mark}'", _QUOTES)
TEXT_AFTER_END = Defect(
    "text-after-end", "this stands after the end of what the file holds", "the line in line with the first key"
)
TEXT_AFTER_QUOTE = Defect(
    "text-after-quote",
    "text goes on after the closing {mark}",
    "one pair of quotes around all of it; {twice} for one inside",
)
TOO_DEEP = Defect("too-deep", "this goes more than {limit} levels deep", "fewer levels")
TOO_MANY_ENTRIES = Defect(
    "too-many-entries", "the file holds more than {limit} entries, repeats by '*' counted", "several smaller files"
)
UNCLOSED_BRACKET = Defect("unclosed-bracket", "'{opened}' is not closed", "'{wanted}' at the end of the list or map")
UNCLOSED_QUOTE = Defect("unclosed-quote", "the quote that opens here is not closed", "{mark} at the end of the text")
UNKNOWN_ALIAS = Defect("unknown-alias", "'*{name}' repeats what nothing above names '&{name}'", "{right}")
WANTS_CONTENT = Defect(
    "wants-content",
    "'{found}' stands where text, a list or keys are wanted",
    "something before it, or the text in quotes",
)


def duplicate_key(key: Scalar, first: Scalar) -> Message:
    """A key that stands twice, with both places."""
    return DUPLICATE_KEY.at(key.place, ((first.place, "it stands here first"),), key=key.text)


def duplicate_anchor(name: str, place: Place, first: Place) -> Message:
    """An anchor that stands twice, with both places."""
    return DUPLICATE_ANCHOR.at(place, ((first, "it stands here first"),), name=name)


def unknown_alias(name: str, known: Iterable[str], place: Place) -> Message:
    """An alias for which no anchor was met."""
    near = nearest(name, known)
    right = f"'*{near}'" if near else f"'&{name}' before the first of the two"
    return UNKNOWN_ALIAS.at(place, name=name, right=right)


def is_word_colon_text(key: Scalar) -> bool:
    """Whether a key that has nothing of its own is rather a key and its text, with no space after the colon."""
    return key.style == "plain" and _WORD_COLON_TEXT.fullmatch(key.text) is not None
