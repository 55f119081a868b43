"""What people see: pure functions from a plan (JSON values) to text. Nothing here computes a plan.

    layout.py, words.py, tables.py   columns and wrapping; dates, tempos and keys in words; tables
    warmup.py, items.py, day.py      what is said about a warm-up, an item or block, a day
    routine.py, aloud.py             today's routine on the page, and read aloud
    week.py, coverage.py             the week on one screen; what is covered

User text passes `layout.clean`; nothing is said by colour or type face alone.
"""
