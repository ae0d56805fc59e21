"""Drawings and lists of other programs, in and out."""
