"""The floors of the house: a file imports only from floors below its own, or from its own room."""

import ast
from pathlib import Path

import handwheel

ROOT = Path(handwheel.__file__).parent
FLOOR = {
    "engineering": 1, "machines": 1, "records": 2, "reading": 3, "identify": 4, "procedures": 4, "checks": 5, "pages": 6,
    "desk": 7, "cli": 8,
}  # fmt: skip
ONLY_HERE = {"yaml": "reading", "ruamel": "desk", "mkdocs": "pages/mkdocs_adapter.py", "pint": "engineering/units.py"}


def imports(path: Path) -> set[str]:
    tree = ast.parse(path.read_text("utf-8"))
    found = {alias.name for node in ast.walk(tree) if isinstance(node, ast.Import) for alias in node.names}
    return found | {node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom) and node.module}


def files() -> dict[str, Path]:
    return {path.relative_to(ROOT).as_posix(): path for path in sorted(ROOT.rglob("*.py"))}


def test_every_room_has_a_floor() -> None:
    rooms = {name.split("/")[0] for name in files() if "/" in name}
    assert rooms <= set(FLOOR)


def test_imports_go_down_only() -> None:
    wrong = []
    for name, path in files().items():
        room = name.split("/")[0]
        for module in imports(path):
            parts = module.split(".")
            if room in FLOOR and parts[0] == "handwheel" and len(parts) > 1 and parts[1] in FLOOR and parts[1] != room:
                if FLOOR[parts[1]] >= FLOOR[room]:
                    wrong.append(f"{name} imports {module}")
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
