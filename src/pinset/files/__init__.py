"""What enters or leaves as files: the farm's description, spreadsheets, logger files, calendars.

Reading a farm's folder: `folder` (the whole), `farm_file` (farm.toml), `csv_sheet` and `xlsx_sheet`
(rows of a table file), `cells`, `number_cells`, `day_cells` (one cell), `tables` and `farm_fields`
(which names there are), `rows`, `records`, `routes` (rows to records), `references`, `book_rules`
(what must fit together), `book` (all of it). Writing it: `writing`, `table_rows`, `farm_file_out`,
`example`.

Reading lot codes off photos of labels: `label_photo`. The farm's own certificates: `certificates`.
"""
