"""Planning the farm as it stands: from its stock to a stored plan."""
