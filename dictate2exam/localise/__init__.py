"""Room: localise."""
