-- Programs from schema 9 on run with this.
-- The mornings due at one time are read ZIP code by ZIP code, so that each weather cell is met once.
CREATE INDEX lawn_due_place ON lawn (zone_id, message_second, zip, id);
