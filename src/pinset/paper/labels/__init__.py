"""Labels on paper: what stands on one, how it is fitted, and whole sheets of them."""
