-- The local time of a soil reading, for example 07:30:00; null when not told.
ALTER TABLE journal_entry ADD COLUMN time TEXT;
