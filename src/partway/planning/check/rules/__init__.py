"""The rules that a plan is checked against, each from the scenario itself."""
