"""Dimensions → chain, what works, what contradicts, the chances, what to measure next."""
