"""Checks over a whole record: each gives questions that no single room could raise."""
