"""Room: record."""
