ALTER TABLE invitations DROP COLUMN made_by, DROP COLUMN id, DROP COLUMN created_at;
