"""A spoken examination of an arm, turned into a confirmed record and a located lesion."""

__version__ = "0.1.0"
