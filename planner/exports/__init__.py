"""What leaves the program in open formats: tables and calendars. Pure functions from JSON values to text."""
