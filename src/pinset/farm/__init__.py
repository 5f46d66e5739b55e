"""The ledger: double-entry book-keeping of living units, and the farm's registers.

The only code that knows the database. `door` is the one place that writes entries; `entries` says
what can be handed to it; `queries` reads; `check` rebuilds and compares; `copying` backs up.
"""
