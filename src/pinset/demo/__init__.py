"""An invented farm with a known hidden truth, made by simulation; no real person, farm or brand."""
