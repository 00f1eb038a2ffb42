"""Room: audit."""
