-- What is usual at a cell, from past years.
CREATE TABLE cell_climate (
    cell_id TEXT PRIMARY KEY REFERENCES cell (id) ON DELETE CASCADE,
    fetched_at INTEGER NOT NULL,
    body BLOB NOT NULL -- PlaceClimate, packed
) STRICT, WITHOUT ROWID;
