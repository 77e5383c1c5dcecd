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
    wanted_at INTEGER NOT NULL, -- when it was first asked for
    begun_at INTEGER, -- a fetch began then and has not ended
    fetched_at INTEGER -- the last success
) STRICT, WITHOUT ROWID;

-- Ids of the keys of mailed links that the workers of this database hold. The keys themselves are not here.
CREATE TABLE link_key (
    id TEXT PRIMARY KEY,
    seen_at INTEGER NOT NULL -- when a worker first held it
) STRICT, WITHOUT ROWID;
