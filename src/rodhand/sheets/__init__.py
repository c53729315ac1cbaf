"""Files in and out: logs, foreign tables, workbooks, papers, drawings and labels."""
