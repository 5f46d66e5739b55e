"""Reading the ledger. Every question takes a few statements, however many lots it is about."""
