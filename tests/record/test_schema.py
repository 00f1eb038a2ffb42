"""The JSON Schema of the record describes what is written."""

import json

from examples import finding, record

from dictate2exam.record.model import ExamRecord
from dictate2exam.record.store import record_json


def test_every_written_key_is_in_the_schema() -> None:
    schema = ExamRecord.model_json_schema()
    written = json.loads(record_json(record([finding("a", "power.deltoid", "4")])))
    assert set(written) <= set(schema["properties"])
    assert set(schema["required"]) <= set(written)
    assert schema["additionalProperties"] is False
