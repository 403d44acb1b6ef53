"""Which file was probably meant by a path that cannot be read; loaded only then."""

import os

from chime.cli.misuse import one_of
from chime.diagnostics.suggest import nearest

_MOST_OFFERED = 3


def offer(path: str) -> str:
    """Return `; did you mean ...?`, or nothing where no file is clearly meant."""
    if os.path.isdir(path):
        names = [name for name in _files(path) if name.endswith(".chime")]
        found = [os.path.join(path, name) for name in names] if len(names) <= _MOST_OFFERED else []
    elif os.path.lexists(path):
        found = []
    elif os.path.isfile(f"{path}.chime"):
        found = [f"{path}.chime"]
    else:
        folder, name = os.path.split(path)
        found = [os.path.join(folder, near) for near in nearest(name, _files(folder or "."))]
    return f"; did you mean {one_of(found)}?" if found else ""


def _files(folder: str) -> list[str]:
    try:
        with os.scandir(folder) as entries:
            return sorted(entry.name for entry in entries if entry.is_file())
    except OSError:
        return []
