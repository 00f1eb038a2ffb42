"""dictate2exam schema: the JSON Schema of record.json."""


def schema() -> int:
    """Print the JSON Schema of the record."""
    import json

    from dictate2exam.record.model import ExamRecord

    print(json.dumps(ExamRecord.model_json_schema(), indent=1))
    return 0
