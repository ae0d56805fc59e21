"""The steps that made the store what it is."""
