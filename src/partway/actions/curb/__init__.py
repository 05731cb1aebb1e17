"""Worth lifting? What a kind is worth at the curb, one or all of them."""
