"""What histories of lots say of losses: against what was expected, and what stands out."""
