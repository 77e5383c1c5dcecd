-- While it has its one row nothing is claimed or begun: an operator's hold, or a restored copy that waits to be released.
CREATE TABLE outbox_hold (
    one INTEGER PRIMARY KEY CHECK (one = 1),
    since INTEGER NOT NULL,
    reason TEXT NOT NULL,
    backup_at INTEGER, -- of a restored copy: the moment that it shows
    restored_at INTEGER
) STRICT;
