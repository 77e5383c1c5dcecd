-- Since when mornings are owed for a lawn; NULL: its owner wants none. Those before it was added, or before they were
-- asked for again, are not owed.
ALTER TABLE lawn ADD COLUMN mornings_from INTEGER;

UPDATE lawn SET mornings_from = created_at;
