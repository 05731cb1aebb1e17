"""A first plan without the whole programme: what to open by prices alone, then a haul of what comes of it."""
