"""Room: audio."""
