package postgres_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/jackc/pgx/v5"

	"overhang/internal/tags/postgres/postgrestest"
)

// TestKeyedByProgram asks PostgreSQL's catalog what would stand in the way of
// spreading the data by program: of every table with a program, each key, unique
// index and foreign key must contain the program, on both sides. What does not is
// listed here with its reason; a distributed PostgreSQL would keep the tables
// of people as reference tables.
func TestKeyedByProgram(t *testing.T) {
	c, err := pgx.Connect(t.Context(), postgrestest.URL(t))
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close(t.Context())
	rows, err := c.Query(t.Context(), `
		WITH keyed AS (
			SELECT attrelid AS t, attnum FROM pg_attribute a JOIN pg_class c ON c.oid = attrelid AND c.relkind IN ('r', 'p')
			WHERE attname = 'program_id' AND NOT attisdropped AND relnamespace = 'public'::regnamespace)
		SELECT i.indexrelid::regclass::text
		FROM pg_index i JOIN keyed k ON k.t = i.indrelid
		WHERE i.indisunique AND NOT k.attnum = ANY (i.indkey::int2[])
		UNION
		SELECT f.conname
		FROM pg_constraint f JOIN keyed k ON k.t = f.conrelid LEFT JOIN keyed o ON o.t = f.confrelid
		WHERE f.contype = 'f' AND f.confrelid <> 'programs'::regclass
			AND NOT EXISTS (SELECT FROM unnest(f.conkey, f.confkey) u (own, other) WHERE u.own = k.attnum AND u.other = o.attnum)
		UNION
		SELECT relname || ' (no program)'
		FROM pg_class WHERE relnamespace = 'public'::regnamespace AND relkind IN ('r', 'p') AND oid NOT IN (SELECT t FROM keyed)
		ORDER BY 1`)
	if err != nil {
		t.Fatal(err)
	}
	found, err := pgx.CollectRows(rows, pgx.RowTo[string])
	if err != nil {
		t.Fatal(err)
	}
	want := []string{
		"data_logins_login_key",          // the cluster has a login once, whatever its program
		"invitations_pkey",               // found by its secret, before its program is known; few rows
		"members_person_fkey",            // people are the server's: a reference table
		"packet_links_secret_hash_key",   // found by its secret, before its program is known
		"people (no program)",            // one login may be of several programs
		"programs (no program)",          // is the program
		"schema_migrations (no program)", // the schema's version
		"sessions (no program)",          // of a person, found by its secret
		"shares_association_fkey",        // of two programs; few rows, a reference table
		"tokens_secret_hash_key",         // found by its secret, before its program is known
	}
	if diff := cmp.Diff(want, found); diff != "" {
		t.Errorf("keys without the program (-want +got):\n%s", diff)
	}
}
