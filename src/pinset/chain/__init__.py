"""The grower's arithmetic: stages, routes, expansion, readiness and lot codes.

Frozen records and plain functions: no file is opened, no clock read, no database known.
"""
