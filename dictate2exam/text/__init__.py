"""Room: text."""
