"""What is kept: measured units, standards, rule sets, finished designs."""
