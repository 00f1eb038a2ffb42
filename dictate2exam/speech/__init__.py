"""Room: speech."""
