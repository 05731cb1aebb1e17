"""Photographs: read within bounds, turned upright, made small and written anew, so that nothing else comes along."""
