"""One find: how far to open it, over which range of prices that holds, and how sure it is."""
