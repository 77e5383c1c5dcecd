-- The days that the climate was made from: PastYears, packed. NULL in rows of an older program, which are fetched again.
ALTER TABLE cell_climate ADD COLUMN days BLOB;

-- The physics over those years. A cache: it holds for one fetch of the years and one build of the physics.
CREATE TABLE past_soil (
    cell_id TEXT NOT NULL REFERENCES cell (id) ON DELETE CASCADE,
    surface_key TEXT NOT NULL,
    years_at INTEGER NOT NULL,
    physics TEXT NOT NULL,
    body BLOB NOT NULL, -- SiteDays, packed
    PRIMARY KEY (cell_id, surface_key)
) STRICT;

-- The last 400 days or so of weather and soil, as they were worked out when they were new.
CREATE TABLE year_days (
    cell_id TEXT NOT NULL REFERENCES cell (id) ON DELETE CASCADE,
    surface_key TEXT NOT NULL,
    body BLOB NOT NULL, -- SiteDays, packed
    PRIMARY KEY (cell_id, surface_key)
) STRICT;

-- The local date for which the season of a lawn was last planned. The messages are written with it, in one transaction.
CREATE TABLE season_plan (
    lawn_id INTEGER PRIMARY KEY REFERENCES lawn (id) ON DELETE CASCADE,
    planned_for TEXT NOT NULL
) STRICT;

-- Of a mowing [cm]; of a feeding [g/m²]; of a sowing or what came up.
ALTER TABLE journal_entry ADD COLUMN height_before REAL;
ALTER TABLE journal_entry ADD COLUMN phosphate REAL;
ALTER TABLE journal_entry ADD COLUMN potash REAL;
ALTER TABLE journal_entry ADD COLUMN grass TEXT;
