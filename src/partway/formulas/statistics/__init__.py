"""What a few observations say: means, spreads, chances, shares and levels, learned by closed forms."""
