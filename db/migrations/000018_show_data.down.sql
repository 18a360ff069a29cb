DROP SCHEMA data CASCADE;
DROP TABLE data_logins;
-- The role overhang_data stays: other databases of the server may use it. Logins of it stay
-- too and see nothing.
