"""The tables of a list: columns side by side, of several prices in a row the one that counts, and rows in words."""
