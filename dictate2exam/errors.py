"""The one hierarchy of errors: each message is one sentence for the person who reads it."""


class Dictate2ExamError(Exception):
    """Base of every error that ends a run with exit code 2 and its message on stderr."""


class InputError(Dictate2ExamError):
    """A file, folder or option given by the user cannot be used."""


class AudioError(InputError):
    """Sound is missing, unreadable, empty or silent."""


class RecogniserError(Dictate2ExamError):
    """A recogniser is unknown, or its model is missing or unusable."""


class LexiconError(Dictate2ExamError):
    """A file of the lexicon is broken; the message names file, entry and remedy."""


class RecordError(InputError):
    """A saved record, findings table or answers file is broken or of another version."""


class NewerVersionError(RecordError):
    """A newer version of the program wrote it; this one cannot read it."""


class OpenQuestionsError(Dictate2ExamError):
    """Localisation or a signature was asked for while a blocking question is open (exit code 3)."""
