"""The bins: pages and labels."""
