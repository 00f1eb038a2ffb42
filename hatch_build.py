"""Puts the listeners' language, built from lexicon/, into the wheel: no user waits for it."""

import sys
import tempfile
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface


class LanguageHook(BuildHookInterface):
    """Builds the language into a temporary folder and adds it as dictate2exam/_language.

    Where its libraries are missing (a build without isolation), the wheel goes without it: the
    language is then built at first use.
    """

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Called by hatchling before the wheel is filled; editable installs are left alone."""
        if version == "editable":
            return
        sys.path.insert(0, self.root)
        try:
            from dictate2exam.lexicon.load import load_lexicon
            from dictate2exam.speech.language import write_language
        except ImportError as error:
            self.app.display_warning(f"The language is not built into the wheel: {error}.")
            return
        finally:
            sys.path.remove(self.root)
        self.folder = tempfile.TemporaryDirectory(prefix="dictate2exam-language-")
        lexicon = load_lexicon(Path(self.root) / "lexicon", with_users=False)
        write_language(lexicon, Path(self.folder.name), lambda share: None)
        build_data["force_include"][self.folder.name] = "dictate2exam/_language"

    def finalize(self, version: str, build_data: dict[str, Any], artifact_path: str) -> None:
        """Called when the wheel is written."""
        if hasattr(self, "folder"):
            self.folder.cleanup()
