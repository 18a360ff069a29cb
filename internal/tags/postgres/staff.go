package postgres

import (
	"context"
	"errors"
	"strings"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"overhang/internal/staff"
	"overhang/internal/tags"
)

// A Holder is who a secret lets in.
type Holder struct {
	staff.Person
	Program uuid.NullUUID `db:"program_id"` // of a token: the only one it opens
	Role    staff.Role    `db:"role"`       // of a token
	asked   membership    // of a session, in the program that is asked for
}

type membership struct {
	program uuid.NullUUID
	role    staff.Role
}

// SessionHolder returns the person of a session's secret, NotFound when it has ended; with
// their role in the program of a code, which saves asking again.
func (s *Store) SessionHolder(ctx context.Context, secret, code string) (h Holder, err error) {
	defer wrap(&err, "SessionHolder")
	if !tags.Storable(code) {
		code = "" // no program's
	}
	err = s.db.QueryRow(ctx, `
		SELECT p.id, p.login, p.name, o.id, coalesce(m.role, '')
		FROM sessions s JOIN people p ON p.id = s.person_id
		LEFT JOIN programs o ON o.code = $2
		LEFT JOIN members m ON m.program_id = o.id AND m.person_id = p.id
		WHERE s.secret_hash = $1 AND s.expires_at > now()`, staff.Hash(secret), code).Scan(&h.ID, &h.Login, &h.Name,
		&h.asked.program, &h.asked.role)
	if errors.Is(err, pgx.ErrNoRows) {
		err = tags.Errorf(tags.NotFound, "no such session")
	}
	return h, err
}

// RoleIn is what the holder of a session is in a program: as it was found with the session, where
// that asked for this program.
func (s *Store) RoleIn(ctx context.Context, h *Holder, program uuid.UUID) (staff.Role, error) {
	if h.asked.program.Valid && h.asked.program.UUID == program {
		return h.asked.role, nil
	}
	if program == uuid.Nil && !h.asked.program.Valid {
		return "", nil
	}
	return s.RoleOf(ctx, program, h.ID)
}

// TokenHolder returns the person of a token's secret and the program it opens,
// NotFound when it has expired, was revoked, or its owner has left. Its role is
// never more than its owner's is now.
func (s *Store) TokenHolder(ctx context.Context, secret string) (_ Holder, err error) {
	defer wrap(&err, "TokenHolder")
	// used_at is kept to the minute, and no request waits until it is on the disk: a crash may
	// forget the last of it. Else everybody would wait at the door for those who write it.
	h, err := one[Holder](ctx, s.db, "no such token", `
		WITH used AS (
			UPDATE tokens SET used_at = now()
			WHERE secret_hash = $1 AND revoked_at IS NULL AND expires_at > now() AND coalesce(used_at < now() - interval '1 minute', true)
			RETURNING set_config('synchronous_commit', 'off', true)
		)
		SELECT p.id, p.login, p.name, t.program_id, t.role || ' ' || m.role AS role
		FROM tokens t JOIN people p ON p.id = t.person_id JOIN members m ON m.program_id = t.program_id AND m.person_id = t.person_id
		WHERE t.secret_hash = $1 AND t.revoked_at IS NULL AND t.expires_at > now()`, staff.Hash(secret))
	if err != nil {
		return h, err
	}
	own, most, _ := strings.Cut(string(h.Role), " ")
	if h.Role = staff.Role(own); !staff.Role(most).Reaches(h.Role) {
		h.Role = staff.Role(most)
	}
	return h, nil
}

// RoleOf returns a person's role in a program, "" when they have none.
func (s *Store) RoleOf(ctx context.Context, program, person uuid.UUID) (r staff.Role, err error) {
	defer wrap(&err, "RoleOf")
	err = s.db.QueryRow(ctx, `SELECT role FROM members WHERE program_id = $1 AND person_id = $2`, program, person).Scan(&r)
	if errors.Is(err, pgx.ErrNoRows) {
		return "", nil
	}
	return r, err
}

// ProgramsOf lists the programs a person is a member of, by code.
func (s *Store) ProgramsOf(ctx context.Context, person uuid.UUID) (_ []tags.Program, err error) {
	defer wrap(&err, "ProgramsOf")
	return s.programs(ctx, `WHERE id IN (SELECT program_id FROM members WHERE person_id = $1)`, person)
}

// SignIn checks a login and a password and opens a session. It returns the
// session's secret, or a NotFound that does not say which of the two was wrong.
func (s *Store) SignIn(ctx context.Context, login, password string) (secret string, err error) {
	defer wrap(&err, "SignIn")
	var id uuid.UUID
	var hash string
	err = s.db.QueryRow(ctx, `SELECT id, password_hash FROM people WHERE login = $1`, staff.Known(login)).Scan(&id, &hash)
	if err != nil && !errors.Is(err, pgx.ErrNoRows) {
		return "", err
	}
	if !staff.CheckPassword(password, hash) {
		return "", tags.Errorf(tags.NotFound, "login or password is wrong")
	}
	return s.open(ctx, id)
}

// open begins a session. When it ends is told by the database's clock, which is the
// one that is asked later: the server's may differ.
func (s *Store) open(ctx context.Context, person uuid.UUID) (string, error) {
	secret := staff.NewSecret()
	if _, err := s.db.Exec(ctx, `DELETE FROM sessions WHERE expires_at < now()`); err != nil {
		return "", err
	}
	_, err := s.db.Exec(ctx,
		`INSERT INTO sessions (secret_hash, person_id, expires_at) VALUES ($1, $2, now() + $3::interval)`,
		staff.Hash(secret), person, staff.SessionLife)
	return secret, err
}

// SignOut ends a session.
func (s *Store) SignOut(ctx context.Context, secret string) (err error) {
	defer wrap(&err, "SignOut")
	_, err = s.db.Exec(ctx, `DELETE FROM sessions WHERE secret_hash = $1`, staff.Hash(secret))
	return err
}

// Nobody says that no one can sign in yet.
func (s *Store) Nobody(ctx context.Context) (none bool, err error) {
	defer wrap(&err, "Nobody")
	err = s.db.QueryRow(ctx, `SELECT NOT EXISTS (SELECT FROM people)`).Scan(&none)
	return none, err
}

// Members lists a program's people by login.
func (s *Store) Members(ctx context.Context, program uuid.UUID) (_ []staff.Member, err error) {
	defer wrap(&err, "Members")
	return list[staff.Member](ctx, s.db, `
		SELECT p.id, p.login, p.name, m.role
		FROM members m JOIN people p ON p.id = m.person_id
		WHERE m.program_id = $1
		ORDER BY p.login`, program)
}

// SetRole changes a member's role, or removes them when role is "": their tokens go
// too, the invitations they made when they are no owner any more, the links for players when
// they are no coordinator, and the invitations for their login. The last owner stays.
func (s *Store) SetRole(ctx context.Context, program, person uuid.UUID, role staff.Role) (err error) {
	defer wrap(&err, "SetRole")
	return s.transact(ctx, func(tx pgx.Tx) error {
		owners, err := column[uuid.UUID](ctx, tx,
			`SELECT person_id FROM members WHERE program_id = $1 AND role = 'owner' ORDER BY person_id FOR UPDATE`, program)
		if err != nil {
			return err
		}
		if len(owners) == 1 && owners[0] == person && role != staff.Owner {
			return tags.Errorf(tags.Conflict, "a program needs an owner: make someone else an owner first")
		}
		change := `UPDATE members SET role = $3 WHERE program_id = $1 AND person_id = $2`
		args := []any{program, person, role}
		if role == "" {
			change, args = `DELETE FROM members WHERE program_id = $1 AND person_id = $2`, args[:2]
		}
		tag, err := tx.Exec(ctx, change, args...)
		if err == nil && tag.RowsAffected() == 0 {
			return tags.Errorf(tags.NotFound, "there is no such member")
		}
		if err == nil && role != staff.Owner {
			_, err = tx.Exec(ctx, `
				DELETE FROM invitations
				WHERE program_id = $1 AND (made_by = $2 OR $3 AND login = (SELECT login FROM people WHERE id = $2))`,
				program, person, role == "")
		}
		if err == nil && !role.Reaches(staff.Coordinator) {
			_, err = tx.Exec(ctx, `
				UPDATE packet_links SET ended_at = coalesce(ended_at, now()) WHERE program_id = $1 AND made_by = $2`,
				program, person)
		}
		return err
	})
}

// MakeToken keeps a token and returns it with its secret.
func (s *Store) MakeToken(ctx context.Context, program uuid.UUID,
	t staff.Token) (_ staff.Token, secret string, err error) {
	defer wrap(&err, "MakeToken")
	t.ID, secret = NewID(), staff.NewSecret()
	_, err = s.db.Exec(ctx,
		`INSERT INTO tokens (program_id, id, person_id, label, role, secret_hash, expires_at) VALUES ($1, $2, $3, $4, $5, `+
			`$6, $7)`,
		program, t.ID, t.Person, t.Label, t.Role, staff.Hash(secret), t.ExpiresAt)
	return t, secret, err
}

// Tokens lists a program's tokens, of one person unless everybody's are asked for.
func (s *Store) Tokens(ctx context.Context, program uuid.UUID, person uuid.NullUUID) (_ []staff.Token, err error) {
	defer wrap(&err, "Tokens")
	return list[staff.Token](ctx, s.db, `
		SELECT id, person_id, label, role, expires_at, revoked_at, used_at
		FROM tokens
		WHERE program_id = $1 AND ($2::uuid IS NULL OR person_id = $2)
		ORDER BY id`, program, person)
}

// Revoke ends a token, of one person unless anybody's may be.
func (s *Store) Revoke(ctx context.Context, program, id uuid.UUID, person uuid.NullUUID) (err error) {
	defer wrap(&err, "Revoke")
	tag, err := s.db.Exec(ctx, `
		UPDATE tokens SET revoked_at = coalesce(revoked_at, now())
		WHERE program_id = $1 AND id = $2 AND ($3::uuid IS NULL OR person_id = $3)`, program, id, person)
	if err == nil && tag.RowsAffected() == 0 {
		return tags.Errorf(tags.NotFound, "there is no such token")
	}
	return err
}
