"""One module per job on the farm: the only place that joins ledger, core and clock."""
