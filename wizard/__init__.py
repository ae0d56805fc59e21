"""What works things out: the engine, the bench, the papers and the screens."""
