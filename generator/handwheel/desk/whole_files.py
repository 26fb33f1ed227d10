"""Files written whole or not at all."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path


def write_whole(path: Path, text: str) -> None:
    """Write a text in the place of a file, keeping its permissions; whoever reads it finds the old or the new one."""
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=".", suffix=".part")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(text.encode("utf-8"))
            file.flush()
            os.fsync(file.fileno())
        Path(name).chmod(path.stat().st_mode & 0o777 if path.exists() else 0o666 & ~_umask())
        Path(name).replace(path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


def _umask() -> int:
    """The mask that new files are made with; it can only be read by setting it."""
    mask = os.umask(0o022)
    os.umask(mask)
    return mask
