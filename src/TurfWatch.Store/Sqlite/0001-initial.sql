-- Instants are milliseconds since 1970-01-01T00:00Z; local dates are text, YYYY-MM-DD.

CREATE TABLE subscriber (
    id INTEGER PRIMARY KEY AUTOINCREMENT, -- never reused: outbox keys outlive a removed subscriber
    email TEXT NOT NULL,
    email_key TEXT NOT NULL UNIQUE, -- the address in lower case
    status TEXT NOT NULL CHECK (status IN ('Active', 'Left', 'Suppressed')),
    status_reason TEXT,
    status_at INTEGER NOT NULL,
    created_at INTEGER NOT NULL
) STRICT;

CREATE TABLE lawn (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    subscriber_id INTEGER NOT NULL REFERENCES subscriber (id) ON DELETE CASCADE,
    zip TEXT NOT NULL,
    zone_id TEXT NOT NULL,
    message_second INTEGER NOT NULL, -- local time of the morning message, seconds since midnight
    profile TEXT NOT NULL, -- the whole lawn as JSON; the columns above repeat what is searched for
    created_at INTEGER NOT NULL
) STRICT;

CREATE INDEX lawn_subscriber ON lawn (subscriber_id);
CREATE INDEX lawn_due ON lawn (zone_id, message_second, id);
CREATE INDEX lawn_zip ON lawn (zip);

CREATE TABLE journal_entry (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    lawn_id INTEGER NOT NULL REFERENCES lawn (id) ON DELETE CASCADE,
    kind TEXT NOT NULL,
    date TEXT NOT NULL,
    amount REAL
) STRICT;

CREATE INDEX journal_entry_lawn ON journal_entry (lawn_id, date, id);

CREATE TABLE cell (
    id TEXT PRIMARY KEY,
    profile TEXT NOT NULL, -- the cell as JSON
    outlook TEXT, -- warnings and data notes of the last fetch as JSON
    outlook_at INTEGER
) STRICT;

CREATE TABLE zip_cell (
    zip TEXT PRIMARY KEY,
    cell_id TEXT NOT NULL REFERENCES cell (id) ON DELETE CASCADE
) STRICT, WITHOUT ROWID;

CREATE INDEX zip_cell_cell ON zip_cell (cell_id);

-- 24 hours to a row; one layer per kind of origin, so that a later, better one never mixes with a worse one.
CREATE TABLE weather_day (
    cell_id TEXT NOT NULL REFERENCES cell (id) ON DELETE CASCADE,
    day INTEGER NOT NULL, -- days since 1970-01-01 in which the hours end
    kind INTEGER NOT NULL, -- 1 measured, 2 analysed, 3 forecast
    hours BLOB NOT NULL,
    PRIMARY KEY (cell_id, day, kind)
) STRICT, WITHOUT ROWID;

CREATE TABLE site_state (
    cell_id TEXT NOT NULL REFERENCES cell (id) ON DELETE CASCADE,
    surface_key TEXT NOT NULL,
    valid_at INTEGER NOT NULL,
    body BLOB NOT NULL,
    PRIMARY KEY (cell_id, surface_key)
) STRICT;

-- No reference to subscriber: what became of a message stays on record when the subscriber is removed.
CREATE TABLE outbox (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    subscriber_id INTEGER NOT NULL,
    kind TEXT NOT NULL CHECK (kind IN ('Morning', 'Alert', 'Digest', 'Test')),
    key TEXT NOT NULL,
    recipient TEXT NOT NULL,
    envelope_sender TEXT NOT NULL,
    message_id TEXT NOT NULL,
    not_before INTEGER NOT NULL,
    not_after INTEGER NOT NULL,
    content BLOB, -- gzip; NULL once pruned
    state TEXT NOT NULL CHECK (
        state IN ('Queued', 'Claimed', 'Sending', 'Sent', 'Expired', 'Suppressed', 'Dead', 'Unknown')
    ),
    next_at INTEGER NOT NULL, -- next try; not_before at first
    attempts INTEGER NOT NULL DEFAULT 0, -- grows when a row is claimed, so that a crash counts too
    lost INTEGER NOT NULL DEFAULT 0, -- claims that ended by a lapsed lease
    resends INTEGER NOT NULL DEFAULT 0, -- second tries after an unknown end
    fence INTEGER NOT NULL DEFAULT 0,
    owner TEXT,
    lease_until INTEGER,
    last_reply TEXT,
    created_at INTEGER NOT NULL,
    settled_at INTEGER, -- when the row reached a terminal state
    UNIQUE (subscriber_id, kind, key)
) STRICT;

CREATE INDEX outbox_open ON outbox (state, next_at) WHERE state IN ('Queued', 'Claimed', 'Sending');
CREATE INDEX outbox_settled ON outbox (settled_at) WHERE content IS NOT NULL AND settled_at IS NOT NULL;
