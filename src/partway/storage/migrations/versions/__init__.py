"""One module a step; a step is never changed once it was released."""
