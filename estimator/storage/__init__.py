"""The record: tables, translation between rows and domain values, queries, migrations, backup.

Rows and sessions never leave this room. SQLite by default, another database by URL.
"""
