"""Aids at the bench: from readings as they were taken to sizes with an honest ±."""
