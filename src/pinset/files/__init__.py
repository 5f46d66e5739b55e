"""What enters or leaves as files: the farm's description, spreadsheets, logger files, calendars.

Reading a farm's folder: `folder` (the whole), `farm_file` (farm.toml), `sheet`, `csv_sheet` and
`xlsx_sheet` (rows of a table file), `cells` (one cell), `tables` (which columns there are),
`records` and `routes` (rows to records), `references` (codes that name each other).
Writing it: `writing`, `farm_file_out`, `example`. Comparing two descriptions: `difference`.
"""
