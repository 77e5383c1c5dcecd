-- Work that one worker does at a time.
CREATE TABLE lease (
    name TEXT PRIMARY KEY,
    owner TEXT NOT NULL,
    held_until INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

-- When a cell's weather, or the cell of a ZIP code, is to be asked for again. A fetch that begins puts this off first, so that
-- one worker fetches it, and none at once after a worker died over it.
CREATE TABLE fetch_due (
    key TEXT PRIMARY KEY,
    next_at INTEGER NOT NULL,
    fetched_at INTEGER -- the last success
) STRICT, WITHOUT ROWID;
