-- Programs from schema 8 on run with this. Older ones know no hold, and would send what is held.
CREATE TABLE outbox_hold (
    one bigint PRIMARY KEY CHECK (one = 1),
    since bigint NOT NULL,
    reason text NOT NULL,
    backup_at bigint,
    restored_at bigint
);
