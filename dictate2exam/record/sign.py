"""A version of a record frozen under the name of a person."""

from pathlib import Path

from dictate2exam.errors import RecordError
from dictate2exam.record.log import now
from dictate2exam.record.model import ExamRecord, Signature
from dictate2exam.record.sound import hash_of


def signed_record(record: ExamRecord, name: str, changed: bool) -> ExamRecord:
    """The record with one more signature; `changed`: something came after the last one.

    RecordError where this person has signed it as it is.
    """
    last = record.signatures[-1] if record.signatures else None
    if last and last.name == name and not changed:
        raise RecordError(
            f"{name} has signed this record already (version {last.version}), and nothing was "
            f"amended since."
        )
    signature = Signature(
        version=last.version + 1 if last else 1,
        name=name,
        time=now(),
        amendments=len(record.amendments),
    )
    return record.model_copy(update={"signatures": (*record.signatures, signature)})


def signed_files(folder: Path) -> dict[str, str]:
    """SHA-256 of what the signer saw and no event holds: where the lesion was located."""
    return {path.name: hash_of(path) for path in sorted(folder.glob("localisation*.json"))}
