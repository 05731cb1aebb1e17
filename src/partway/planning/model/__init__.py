"""The plan as a mixed-integer programme: columns and rows, the solver, and a solution back to a decision."""
