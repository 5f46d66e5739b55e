"""Pages, one module for each thing a grower does. Read the request, call one service, show."""
