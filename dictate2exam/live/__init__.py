"""Room: live."""
