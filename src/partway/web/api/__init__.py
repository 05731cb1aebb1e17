"""The JSON interface: what its addresses share. The addresses themselves stand beside the pages of their place."""
