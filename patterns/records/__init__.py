"""Behind `record.py`: the table of fields, reading, checking and writing."""
