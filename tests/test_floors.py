"""The floors of the house: a file imports only from floors below its own, or from its own room."""

import ast
from pathlib import Path

import handwheel

ROOT = Path(handwheel.__file__).parent
FLOORS = (
    ("engineering", "machines"),
    ("records",),
    ("reading",),
    ("identify", "procedures", "evidence"),
    ("checks",),
    ("pages",),
    ("desk",),
    ("cli",),
)
FLOOR = {room: floor for floor, rooms in enumerate(FLOORS, 1) for room in rooms}
ONLY_HERE = {
    "yaml": ("reading", "pages/export.py"),
    "ruamel": ("desk",),
    "mkdocs": ("pages/mkdocs_adapter.py",),
    "pint": ("engineering/units.py",),
}


def imports(path: Path) -> set[str]:
    tree = ast.parse(path.read_text("utf-8"))
    found = {alias.name for node in ast.walk(tree) if isinstance(node, ast.Import) for alias in node.names}
    return found | {node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom) and node.module}


def files() -> dict[str, Path]:
    return {path.relative_to(ROOT).as_posix(): path for path in sorted(ROOT.rglob("*.py"))}


def test_every_room_has_a_floor() -> None:
    rooms = {name.split("/")[0] for name in files() if "/" in name}
    assert rooms <= set(FLOOR)


def goes_up(room: str, module: str) -> bool:
    parts = module.split(".")
    other = parts[1] if parts[0] == "handwheel" and len(parts) > 1 else ""
    return room in FLOOR and other in FLOOR and other != room and FLOOR[other] >= FLOOR[room]


def test_an_import_upwards_would_be_found() -> None:
    assert goes_up("records", "handwheel.pages.site")
    assert goes_up("identify", "handwheel.procedures.expand")
    assert not goes_up("pages", "handwheel.records.library")


def test_imports_go_down_only() -> None:
    wrong = [
        f"{name} imports {module}"
        for name, path in files().items()
        for module in imports(path)
        if goes_up(name.split("/")[0], module)
    ]
    assert wrong == []


def test_outside_libraries_stay_in_their_rooms() -> None:
    wrong = [
        f"{name} imports {module}"
        for name, path in files().items()
        for module in imports(path)
        for library, home in ONLY_HERE.items()
        if module.split(".")[0] == library and not name.startswith(home)
    ]
    assert wrong == []
