DROP TRIGGER calls_kept ON calls;
DROP FUNCTION keep_call_version;
DROP TABLE call_versions;
