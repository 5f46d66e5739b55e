"""Air of clean places, grow rooms and cold stores: what it carries, gains, needs and costs."""
