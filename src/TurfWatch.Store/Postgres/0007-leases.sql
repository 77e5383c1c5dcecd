-- Programs from schema 6 on run with this.
-- Work that one worker does at a time.
CREATE TABLE lease (
    name text COLLATE "C" PRIMARY KEY,
    owner text NOT NULL,
    held_until bigint NOT NULL
);

-- When a cell's weather, or the cell of a ZIP code, is to be asked for again. A fetch that begins puts this off first, so that
-- one worker fetches it, and none at once after a worker died over it.
CREATE TABLE fetch_due (
    key text COLLATE "C" PRIMARY KEY,
    next_at bigint NOT NULL,
    fetched_at bigint -- the last success
);
