"""Nouns: what is measured, asked, worked out and kept. Frozen values, standard library only."""
