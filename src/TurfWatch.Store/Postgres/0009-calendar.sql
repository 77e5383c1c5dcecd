-- Programs from schema 8 on run with this.
-- Which of the addresses made for the lawn's calendar is good, counted from 1; 0: none was made.
ALTER TABLE lawn ADD COLUMN calendar bigint NOT NULL DEFAULT 0;
