"""What is alike: faces among faces."""
