"""Every word that is translated is there in each language, and nothing else."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from knowledge.load import FOLDER, Knowledge
from knowledge.translations import LANGUAGES, load_translation, translation_faults


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_language_has_words_for_every_entry(knowledge: Knowledge, language: str) -> None:
    faults = translation_faults(knowledge, load_translation(language))

    assert list(map(str, faults)) == []


def test_a_missing_word_a_lost_mark_and_a_word_for_nothing_are_found(knowledge: Knowledge, tmp_path: Path) -> None:
    shutil.copytree(FOLDER / "translations" / "de", tmp_path / "translations" / "de")
    names = tmp_path / "translations" / "de" / "causes.yaml"
    names.write_text(names.read_text(encoding="utf-8").replace("core-open:", "core-opn:"), encoding="utf-8")
    checks = tmp_path / "translations" / "de" / "checks.yaml"
    checks.write_text(checks.read_text(encoding="utf-8").replace(': {expect}"', '"', 1), encoding="utf-8")

    found = [str(fault) for fault in translation_faults(knowledge, load_translation("de", tmp_path))]

    assert any("core-open has no words in de" in it for it in found)
    assert any("there is no entry core-opn" in it and "core-open" in it for it in found)
    assert any("keep {expect}" in it for it in found)
