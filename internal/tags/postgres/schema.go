package postgres

import (
	"context"
	"crypto/sha256"
	"encoding/hex"

	"github.com/jackc/pgx/v5"
)

// schemas are what the catalog says of each part of a schema, a line of text a row. Names stand
// without what may differ between one database and a restored one (owners, numbers of rows).
var schemas = []struct{ Part, sql string }{
	{"columns", `
		SELECT concat_ws(' ', a.attrelid::regclass, a.attname, format_type(a.atttypid, a.atttypmod), a.attnotnull,
			a.attidentity, pg_get_expr(d.adbin, d.adrelid))
		FROM pg_attribute a
		JOIN pg_class c ON c.oid = a.attrelid AND c.relkind IN ('r', 'p', 'v', 'c')
		LEFT JOIN pg_attrdef d ON d.adrelid = a.attrelid AND d.adnum = a.attnum
		WHERE c.relnamespace = 'public'::regnamespace AND a.attnum > 0 AND NOT a.attisdropped`},
	{"checks and keys", `
		SELECT concat_ws(' ', conrelid::regclass, contypid::regtype, conname, convalidated, pg_get_constraintdef(oid))
		FROM pg_constraint
		WHERE connamespace = 'public'::regnamespace AND contype <> 'n'`},
	{"indexes", `
		SELECT concat_ws(' ', pg_get_indexdef(indexrelid), indisvalid)
		FROM pg_index JOIN pg_class c ON c.oid = indexrelid
		WHERE c.relnamespace = 'public'::regnamespace`},
	{"triggers", `
		SELECT concat_ws(' ', pg_get_triggerdef(t.oid), t.tgenabled)
		FROM pg_trigger t JOIN pg_class c ON c.oid = t.tgrelid
		WHERE c.relnamespace = 'public'::regnamespace AND NOT t.tgisinternal`},
	{"functions", `
		SELECT pg_get_functiondef(oid)
		FROM pg_proc
		WHERE pronamespace = 'public'::regnamespace AND prokind IN ('f', 'p')`},
	{"walls", `
		SELECT concat_ws(' ', c.oid::regclass, c.relrowsecurity, c.relforcerowsecurity)
		FROM pg_class c
		WHERE c.relnamespace = 'public'::regnamespace AND c.relkind IN ('r', 'p')
		UNION ALL
		SELECT concat_ws(' ', polrelid::regclass, polname, polcmd, polpermissive, (SELECT string_agg(o::regrole::text, ' ')
			FROM unnest(polroles) o), pg_get_expr(polqual, polrelid), pg_get_expr(polwithcheck, polrelid))
		FROM pg_policy`},
	{"rights", `
		SELECT concat_ws(' ', c.oid::regclass, a.attname, x.privilege_type, x.is_grantable)
		FROM pg_class c
		JOIN pg_roles s ON s.rolname = 'overhang_server'
		JOIN pg_attribute a ON a.attrelid = c.oid AND a.attnum > 0
		CROSS JOIN LATERAL aclexplode(a.attacl) x
		WHERE c.relnamespace = 'public'::regnamespace AND x.grantee IN (s.oid, 0)
		UNION ALL
		SELECT concat_ws(' ', c.oid::regclass, x.privilege_type, x.is_grantable)
		FROM pg_class c JOIN pg_roles s ON s.rolname = 'overhang_server' CROSS JOIN LATERAL aclexplode(c.relacl) x
		WHERE c.relnamespace = 'public'::regnamespace AND x.grantee IN (s.oid, 0)`},
	{"views and sequences", `
		SELECT concat_ws(' ', c.oid::regclass, c.relkind,
			CASE WHEN c.relkind = 'v' THEN pg_get_viewdef(c.oid) END)
		FROM pg_class c
		WHERE c.relnamespace = 'public'::regnamespace AND c.relkind IN ('v', 'm', 'S', 'f')
		UNION ALL
		SELECT concat_ws(' ', c.oid::regclass, rulename, pg_get_ruledef(r.oid))
		FROM pg_rewrite r JOIN pg_class c ON c.oid = r.ev_class
		WHERE c.relnamespace = 'public'::regnamespace AND c.relkind <> 'v'`},
	{"views for data", `
		SELECT concat_ws(' ', c.oid::regclass, array_to_string(c.reloptions, ' '), pg_get_viewdef(c.oid))
		FROM pg_class c
		WHERE c.relnamespace = 'data'::regnamespace
		UNION ALL
		SELECT concat_ws(' ', c.oid::regclass, x.grantee::regrole, x.privilege_type, x.is_grantable)
		FROM pg_class c CROSS JOIN LATERAL aclexplode(c.relacl) x
		WHERE c.relnamespace = 'data'::regnamespace AND x.grantee <> c.relowner
		UNION ALL
		SELECT concat_ws(' ', d.objoid::regclass, d.objsubid, d.description)
		FROM pg_description d JOIN pg_class c ON c.oid = d.objoid
		WHERE d.classoid = 'pg_class'::regclass AND c.relnamespace = 'data'::regnamespace`},
}

// schemaSums are digests of the schema, by part.
func schemaSums(ctx context.Context, tx pgx.Tx) (Sums, error) {
	out := Sums{}
	for _, s := range schemas {
		lines, err := column[string](ctx, tx, `SELECT line FROM (`+s.sql+`) x (line) ORDER BY line COLLATE "C"`)
		if err != nil {
			return nil, err
		}
		h := sha256.New()
		for _, l := range lines {
			h.Write([]byte(l))
			h.Write([]byte{0})
		}
		out["schema: "+s.Part] = "sha256:" + hex.EncodeToString(h.Sum(nil))
	}
	return out, nil
}
