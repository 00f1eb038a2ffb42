"""The true findings of each sample lead to the lesion that its script was written for."""

import pytest

from dictate2exam.bench.folder import read_folder, sample_folder
from dictate2exam.bench.model import Sample
from dictate2exam.bench.ranking import rank_of_truth
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.localise.infer import localise
from dictate2exam.localise.model import Observation


@pytest.mark.parametrize("sample", read_folder(sample_folder()), ids=lambda s: s.name)
def test_the_true_site_comes_first(sample: Sample) -> None:
    observations = [
        Observation(
            observation_id=str(number),
            item=row.item,
            side=row.side,
            value=row.value,
            scale=row.scale,
            detail=row.detail,
        )
        for number, row in enumerate(sample.expected)
    ]
    assert sample.truth is not None
    found = list(localise(observations, load_lexicon()))
    assert rank_of_truth(found, sample.truth, sample.side) == 1
