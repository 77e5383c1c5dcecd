-- A CHECK cannot be changed in place: the two tables are made anew, with the new statuses and kinds. Migrations run
-- with foreign keys off, so that dropping the old table takes no lawn with it; they are checked before the commit.

CREATE TABLE subscriber_new (
    id INTEGER PRIMARY KEY AUTOINCREMENT, -- never reused: outbox keys outlive a removed subscriber
    email TEXT NOT NULL,
    email_key TEXT NOT NULL UNIQUE, -- the address in lower case
    status TEXT NOT NULL CHECK (status IN ('Pending', 'Active', 'Left', 'Suppressed')),
    status_reason TEXT,
    status_at INTEGER NOT NULL,
    created_at INTEGER NOT NULL,
    paused_until TEXT -- the first local date with messages again, 9999-12-31 for open end; NULL: not paused
) STRICT;

INSERT INTO subscriber_new (id, email, email_key, status, status_reason, status_at, created_at)
SELECT id, email, email_key, status, status_reason, status_at, created_at FROM subscriber;

-- Numbers of removed subscribers stay used.
DELETE FROM sqlite_sequence WHERE name = 'subscriber_new';
INSERT INTO sqlite_sequence (name, seq) SELECT 'subscriber_new', seq FROM sqlite_sequence WHERE name = 'subscriber';

DROP TABLE subscriber;
ALTER TABLE subscriber_new RENAME TO subscriber;

CREATE TABLE outbox_new (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    subscriber_id INTEGER NOT NULL,
    kind TEXT NOT NULL CHECK (kind IN ('Morning', 'Alert', 'Digest', 'Test', 'Confirmation', 'Receipt')),
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

INSERT INTO outbox_new (id, subscriber_id, kind, key, recipient, envelope_sender, message_id, not_before, not_after,
    content, state, next_at, attempts, lost, resends, fence, owner, lease_until, last_reply, created_at, settled_at)
SELECT id, subscriber_id, kind, key, recipient, envelope_sender, message_id, not_before, not_after,
    content, state, next_at, attempts, lost, resends, fence, owner, lease_until, last_reply, created_at, settled_at
FROM outbox;

DROP TABLE outbox;
ALTER TABLE outbox_new RENAME TO outbox;
CREATE INDEX outbox_open ON outbox (state, next_at) WHERE state IN ('Queued', 'Claimed', 'Sending');
CREATE INDEX outbox_settled ON outbox (settled_at) WHERE content IS NOT NULL AND settled_at IS NOT NULL;

-- What answers and pages did to a lawn or its owner, with what it takes to undo it.
CREATE TABLE deed (
    id INTEGER PRIMARY KEY, -- drawn at random, so that a link to it can be written before it is done
    subscriber_id INTEGER NOT NULL REFERENCES subscriber (id) ON DELETE CASCADE,
    done_at INTEGER NOT NULL,
    undo TEXT NOT NULL, -- JSON
    undone_at INTEGER
) STRICT;

CREATE INDEX deed_subscriber ON deed (subscriber_id, done_at);

-- Each inbound message is dealt with once: by its place in the mailbox, and by its Message-ID when it comes again.
CREATE TABLE inbound (
    mailbox TEXT NOT NULL,
    uid_validity INTEGER NOT NULL,
    uid INTEGER NOT NULL,
    message_key TEXT NOT NULL, -- hash of the Message-ID; '' when there was none
    seen_at INTEGER NOT NULL,
    outcome TEXT NOT NULL,
    PRIMARY KEY (mailbox, uid_validity, uid)
) STRICT, WITHOUT ROWID;

CREATE UNIQUE INDEX inbound_message ON inbound (message_key) WHERE message_key <> '';
CREATE INDEX inbound_seen ON inbound (seen_at);

-- Addresses that must not be written to again, as keyed hashes: whoever reads the file learns no address.
CREATE TABLE suppression (
    address_hash BLOB PRIMARY KEY,
    reason TEXT NOT NULL,
    at INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

-- Requests to join, for the limits on confirmations: by hash of the address without its +tag, and by network.
CREATE TABLE join_request (
    id INTEGER PRIMARY KEY,
    address_hash BLOB NOT NULL,
    network TEXT NOT NULL, -- /24 or /64 as text; 'mail' for the mail door
    at INTEGER NOT NULL,
    sent INTEGER NOT NULL -- whether a confirmation went out
) STRICT;

CREATE INDEX join_request_address ON join_request (address_hash, at);
CREATE INDEX join_request_at ON join_request (at);

-- Bounces, at most one a day counts.
CREATE TABLE bounce (
    subscriber_id INTEGER NOT NULL REFERENCES subscriber (id) ON DELETE CASCADE,
    day TEXT NOT NULL,
    weight REAL NOT NULL,
    PRIMARY KEY (subscriber_id, day)
) STRICT, WITHOUT ROWID;
