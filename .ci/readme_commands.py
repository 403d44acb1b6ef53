"""Prints the commands of the README, one a line: its fenced `sh` blocks, continued lines joined."""

import re
import sys
from pathlib import Path


def commands(text: str) -> list[str]:
    """Return the commands of the fenced blocks marked `sh`."""
    blocks = re.findall(r"^```sh\n(.*?)^```", text, flags=re.DOTALL | re.MULTILINE)
    joined = "".join(blocks).replace("\\\n", " ")
    return [" ".join(line.split()) for line in joined.splitlines() if line.strip()]


if __name__ == "__main__":
    found = commands(Path(sys.argv[1]).read_text(encoding="utf-8"))
    assert len(found) == 2, f"the README should have two commands, not {len(found)}"
    sys.stdout.write("".join(f"{command}\n" for command in found))
