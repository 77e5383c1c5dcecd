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
    wanted_at bigint NOT NULL, -- when it was first asked for
    begun_at bigint, -- a fetch began then and has not ended
    fetched_at bigint -- the last success
);

-- Ids of the keys of mailed links that the workers of this database hold. The keys themselves are not here.
CREATE TABLE link_key (
    id text COLLATE "C" PRIMARY KEY,
    seen_at bigint NOT NULL -- when a worker first held it
);
