"""Saves the parser's tables when the package is built: a start loads them instead of building them."""

import sys
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface


class SaveTables(BuildHookInterface):  # type: ignore[misc]
    """Writes chime/parsing/grammar.tables from grammar/chime.lark."""

    PLUGIN_NAME = "custom"

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Save the tables beside the parser, in a wheel and in an editable install alike."""
        del version, build_data
        sys.path.insert(0, self.root)
        try:
            from chime.parsing import grammar

            Path(grammar.TABLES).write_bytes(grammar.saved_tables(grammar.grammar_text()))
        finally:
            sys.path.remove(self.root)
