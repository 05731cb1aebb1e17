"""What is known: floats in, floats out.

A formula belongs here when it is true outside this program: each says its equation, the unit of every argument and of
the result, where it holds, its source with clause or table, and one example that runs. It raises BadQuantity outside
the range it holds in. What was not read but is remembered says "from memory".
"""
