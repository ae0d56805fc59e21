"""The pairing sheet: TOML in and out, by the declarations of `kb.model`."""
