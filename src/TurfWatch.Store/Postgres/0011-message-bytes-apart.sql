-- Programs from schema 11 on run with this. Older ones look for the bytes in the outbox, and find no such column.
LOCK TABLE outbox IN ACCESS EXCLUSIVE MODE;

CREATE TABLE outbox_content (
    outbox_id bigint PRIMARY KEY,
    content bytea NOT NULL
);

-- Packed already; trying again would cost time and win nothing.
ALTER TABLE outbox_content ALTER COLUMN content SET STORAGE EXTERNAL;

INSERT INTO outbox_content (outbox_id, content)
SELECT id, content FROM outbox WHERE content IS NOT NULL ORDER BY id;

DROP INDEX outbox_open;
DROP INDEX outbox_settled;
ALTER TABLE outbox DROP COLUMN content;

CREATE INDEX outbox_open ON outbox (state, attempts, next_at, id, not_after, lost, lease_until)
WHERE state = 'Queued' OR state = 'Claimed' OR state = 'Sending';
CREATE INDEX outbox_settled ON outbox (settled_at) WHERE settled_at IS NOT NULL AND recipient <> '';
