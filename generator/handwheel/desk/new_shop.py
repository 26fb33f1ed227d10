"""A new shop's folder: few files, ready to check and build, put in place whole."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from handwheel.desk.asking import Ask
from handwheel.desk.layout import CONTENT
from handwheel.desk.schema_files import SCHEMA_FILE, first_line, schema_text, with_first_line
from handwheel.desk.writing import scalar
from handwheel.reading.layering import id_like, is_id
from handwheel.reading.load import load
from handwheel.reading.shipped import folders_of
from handwheel.records.errors import HandwheelError
from handwheel.records.work_records import AREAS

TEMPLATES = Path(__file__).parent / "templates" / "shop"
_ENDING = ".j2"


@dataclass(frozen=True)
class Answers:
    """What a new shop is made from."""

    name: str = ""
    currency: str = "euro"
    family: str = "First family"
    variant: str = "First pattern"
    feature: str = "bobbin winder"
    """What tells patterns apart at a glance, in a word or two."""
    forms: tuple[str, ...] = ("latch=a latch springs it away", "plain=it stays until you move it")
    """Each as `id=how it looks`; the id is made of the words where it is left out."""
    procedure: str = "Wipe the head down"
    area: str = "clean"
    steps: tuple[str, ...] = (
        "Wipe the bed and the arm with a dry cloth.",
        "Brush the lint out from under the needle plate.",
    )


QUESTIONS: dict[str, tuple[str, ...]] = {
    "name": ("Name of the shop?",),
    "currency": ("Its currency?",),
    "family": ("Name of the first family (machines built on one design)?",),
    "variant": ("Name of its first pattern?",),
    "feature": ("A feature that tells patterns apart, in a word or two?",),
    "forms": ("One form that it takes, as word=how it looks?", "Another form?"),
    "procedure": ("First piece of work, as an action?",),
    "area": (f"Where does it belong: {', '.join(AREAS)}?",),
    "steps": ("Its first step, in a sentence?", "Its second step?"),
}


def answered(given: Answers, left_out: Callable[[str], bool], ask: Ask) -> Answers:
    """The answers, with each one left out asked for, in the order in which they belong together."""
    for key, questions in QUESTIONS.items():
        if left_out(key):
            before = getattr(given, key)
            usual = (before,) if isinstance(before, str) else before
            said = tuple(ask(question, each) for question, each in zip(questions, usual, strict=True))
            changed: dict[str, Any] = {key: said[0] if isinstance(before, str) else said}
            given = replace(given, **changed)
    return given


def make_shop(folder: Path, answers: Answers, base: Path | None = None) -> list[str]:
    """Make a shop's folder; the paths of its files, in order.

    It is written beside its place, read, and moved there whole, so that nothing half-written can stay behind.

    Raises:
        HandwheelError: something is there already, or an answer cannot be used; nothing was written.
    """
    if folder.is_symlink() or (folder.exists() and (not folder.is_dir() or any(folder.iterdir()))):
        raise HandwheelError(f"{folder} is there already and is not an empty folder; nothing was written")
    named = answers if answers.name else replace(answers, name=_titled(folder))
    texts = dict(_texts(_ids(named), named))
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(dir=folder.parent, prefix=".new-") as place:
            made = Path(place, "made")
            _write(made, texts)
            load(folders_of(made / CONTENT, base))
            made.replace(folder)
    except OSError as error:
        raise HandwheelError(f"{folder} cannot be made: {error.strerror or error}; nothing was written") from None
    return sorted(texts)


def _titled(folder: Path) -> str:
    name = folder.resolve().name.replace("-", " ").replace("_", " ").strip()
    return name[:1].upper() + name[1:] or "A shop"


def _ids(answers: Answers) -> dict[str, object]:
    """Ids made of the answers."""
    short = {key: _id(getattr(answers, key)) for key in ("name", "family", "feature", "procedure")}
    variant = _id(f"{short['family']} {answers.variant}")
    forms = {_id(form.partition("=")[0]): form.partition("=")[2].strip() or form for form in answers.forms}
    if len(forms) < max(2, len(answers.forms)):
        raise HandwheelError("a feature needs two forms or more, each with a word of its own; nothing was written")
    return {**{f"{key}_id": each for key, each in short.items()}, "variant_id": variant, "form_names": forms}


def _id(text: str) -> str:
    made = id_like(text)
    if not is_id(made):
        raise HandwheelError(f"no id can be made of '{text}': use letters or digits; nothing was written")
    return made


def _texts(ids: dict[str, object], answers: Answers) -> Iterator[tuple[str, str]]:
    """Path in the shop's folder -> text."""
    env = Environment(loader=FileSystemLoader(TEMPLATES), undefined=StrictUndefined, keep_trailing_newline=True)
    env.filters["yaml"] = scalar
    words = {each.name: getattr(answers, each.name) for each in fields(answers)} | ids | {"content": CONTENT}
    schema_file = Path(CONTENT, SCHEMA_FILE)
    for name in sorted(env.list_templates(extensions=[_ENDING[1:]])):
        path = Path(*(part.replace("dot-", ".", 1) for part in Path(name.removesuffix(_ENDING)).parts))
        text = env.get_template(name).render(words)
        if path.parts[0] == CONTENT:
            text = with_first_line(text, first_line(path, schema_file))
        yield path.as_posix(), text
    yield schema_file.as_posix(), schema_text()


def _write(folder: Path, texts: dict[str, str]) -> None:
    for name, text in texts.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, "utf-8", newline="\n")
