"""What is kept: jobs, versions, photos, offers, records. SQLite by default, PostgreSQL by its URL."""
