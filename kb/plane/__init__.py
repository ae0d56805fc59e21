"""Plane geometry of measured points, numpy only: points, circles, patterns of holes."""
