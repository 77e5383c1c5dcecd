-- The packed bytes of messages lie apart, so that what is claimed, begun and settled is a small row. There is no reference
-- to outbox: both rows are written in one transaction, and none of the outbox is ever deleted.
CREATE TABLE outbox_content (
    outbox_id INTEGER PRIMARY KEY,
    content BLOB NOT NULL -- gzip; the row goes when it is pruned
) STRICT;

INSERT INTO outbox_content (outbox_id, content)
SELECT id, content FROM outbox WHERE content IS NOT NULL ORDER BY id;

DROP INDEX outbox_open;
DROP INDEX outbox_settled;
ALTER TABLE outbox DROP COLUMN content;

-- What is not settled, in the order in which it is claimed, with all that a look for something to put right reads. SQLite
-- uses it for one state only when the states stand there one by one.
CREATE INDEX outbox_open ON outbox (state, attempts, next_at, id, not_after, lost, lease_until)
WHERE state = 'Queued' OR state = 'Claimed' OR state = 'Sending';
-- What is settled and not yet pruned.
CREATE INDEX outbox_settled ON outbox (settled_at) WHERE settled_at IS NOT NULL AND recipient <> '';
