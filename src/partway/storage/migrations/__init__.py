"""The steps from one form of the tables to the next, for Alembic, run when a ledger is opened.

After the last step everything derived is rebuilt. So a change of what events mean (ledger.events.meaning) needs a step
too, even one that does nothing: without it older ledgers would keep the old meaning.
"""

REVISIONS = (
    "0000",
    "0001",
    "0002",
    "0003",
    "0004",
    "0005",
    "0006",
    "0008",
)  # oldest first; the last is what this version works with
HEAD = REVISIONS[-1]
