"""Making the domain listener: texts, voices, training, export. Needs PyTorch and voices."""
