"""What to do: depth of one find, the joint plan, and the check that no plan escapes."""
