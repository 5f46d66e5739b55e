"""What was tapped while the network was away, and arrives later."""
