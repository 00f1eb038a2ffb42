"""The clinical and spoken knowledge in lexicon/, read once, checked and hashed."""
