"""Measuring the program on recordings whose true record is known."""
