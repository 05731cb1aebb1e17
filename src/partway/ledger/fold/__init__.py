"""From the events that count to what stands: facts, names, movements, and what happened between two days."""
