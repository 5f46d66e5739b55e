"""What is getting in and where: crossed random effects on counts of contaminated vessels."""
