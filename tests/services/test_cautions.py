"""Cautions have a short name where their sentences are folded away."""

from __future__ import annotations

from pinset.services.cautions import hazard_of, sentences
from pinset.tables.cautions import cautions


def test_every_caution_has_its_hazard_in_a_word_or_two() -> None:
    for key in cautions():
        [sentence] = sentences([key])
        assert 0 < len(hazard_of(sentence).split()) <= 3, key


def test_an_unknown_sentence_has_none() -> None:
    assert hazard_of("Mind the step.") == ""
