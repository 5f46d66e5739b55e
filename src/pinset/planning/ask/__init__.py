"""Can it be promised? Plans with and without, held against each other."""
