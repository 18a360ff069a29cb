package postgres

import (
	"context"
	"errors"
	"slices"
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

// A Founding is the program of a first owner, and what it begins with.
type Founding struct {
	Program tags.Program
	Fill    func(ctx context.Context, s *Store, program uuid.UUID) error
}

// Accept lets an invited person in who is new, or gives one whose password an invitation
// resets a new one; who is known signs in first and comes in by AcceptAs. made is the program of a
// first owner, otherwise nil. It opens a session and returns its secret; the invitation is used
// up, or nothing happened.
func (s *Store) Accept(ctx context.Context, invitation, login, name, password string,
	made *Founding) (secret string, err error) {
	defer wrap(&err, "Accept")
	err = s.accept(ctx, invitation, made, func(s *Store, inv *staff.Invitation) (person uuid.UUID, err error) {
		p := newcomer{login: login, name: strings.TrimSpace(name), password: password}
		switch {
		case inv.Resets:
			person, err = s.reset(ctx, *inv.Login, password)
		case inv.Login != nil:
			p.login = *inv.Login
			person, err = s.welcome(ctx, p)
		default:
			person, err = s.welcomeApart(ctx, p)
		}
		if err == nil {
			secret, err = s.open(ctx, person)
		}
		return person, err
	})
	return secret, err
}

// AcceptAs lets somebody in who has shown to be a person already.
func (s *Store) AcceptAs(ctx context.Context, invitation string, person uuid.UUID, made *Founding) (err error) {
	defer wrap(&err, "AcceptAs")
	return s.accept(ctx, invitation, made, func(s *Store, inv *staff.Invitation) (uuid.UUID, error) {
		login := ""
		err := s.db.QueryRow(ctx, `SELECT login FROM people WHERE id = $1`, person).Scan(&login)
		if err == nil && inv.Login != nil && *inv.Login != login {
			err = tags.Errorf(tags.NotFound, "this invitation is for somebody else")
		}
		return person, err
	})
}

// accept uses an invitation up for whom person finds or makes, or nothing happens.
func (s *Store) accept(ctx context.Context, invitation string, made *Founding,
	person func(*Store, *staff.Invitation) (uuid.UUID, error)) error {
	return s.Atomically(ctx, func(s *Store) error {
		inv, err := s.Invitation(ctx, invitation)
		if err != nil {
			return err
		}
		// The first who comes in shuts the door behind them: every start printed a link for them.
		used, err := column[bool](ctx, s.db, `
			DELETE FROM invitations
			WHERE secret_hash = $1 OR (program_id IS NULL AND NOT EXISTS (SELECT FROM people))
			RETURNING secret_hash = $1`, staff.Hash(invitation))
		if err != nil {
			return err
		}
		if !slices.Contains(used, true) { // somebody else was faster
			return tags.Errorf(tags.NotFound, "this invitation was used")
		}
		who, err := person(s, &inv)
		if err != nil {
			return err
		}
		if !inv.Program.Valid && inv.Resets {
			return nil // their memberships stay as they are
		}
		if !inv.Program.Valid {
			p, err := s.EnsureProgram(ctx, made.Program)
			if err != nil {
				return err
			}
			// One that was fed before it had an owner may be taken over, no other.
			ms, err := s.Members(ctx, p.ID)
			if err != nil {
				return err
			}
			if len(ms) > 0 {
				return tags.Fieldf(tags.Conflict, "program_code", "is taken: another program has it")
			}
			if err := made.Fill(ctx, s, p.ID); err != nil {
				return err
			}
			inv.Program = uuid.NullUUID{UUID: p.ID, Valid: true}
		}
		return s.enroll(ctx, inv.Program.UUID, who, inv.Role)
	})
}

// enroll makes a member of a person, with the higher of two roles where they are one: an
// invitation takes nothing from anybody, least of all the last owner.
func (s *Store) enroll(ctx context.Context, program, person uuid.UUID, role staff.Role) error {
	_, err := s.db.Exec(ctx, `
		INSERT INTO members (program_id, person_id, role) VALUES ($1, $2, $3)
		ON CONFLICT (program_id, person_id) DO UPDATE SET role = EXCLUDED.role
		WHERE array_position($4::text[], members.role::text) < array_position($4::text[], EXCLUDED.role::text)`,
		program, person, role, staff.Roles)
	return err
}

// A newcomer is who makes a login.
type newcomer struct{ login, name, password string }

// check says what is wrong with a newcomer that has nothing to do with who is there already.
func (p *newcomer) check() (hash string, err error) {
	if p.login, err = staff.Login(p.login); err != nil {
		return "", tags.Fieldf(tags.Invalid, "login", "%v", err)
	}
	if why := staff.Weak(p.password, p.login); why != "" {
		return "", tags.Fieldf(tags.Invalid, "password", "%s", why)
	}
	return staff.HashPassword(p.password)
}

// welcome makes the login that an invitation names. A known one is refused in the same words
// whatever the password is: none is tried here.
func (s *Store) welcome(ctx context.Context, p newcomer) (uuid.UUID, error) {
	hash, err := p.check()
	if err != nil {
		return uuid.Nil, err
	}
	id, made, err := s.login(ctx, p, hash)
	if err == nil && !made {
		err = tags.Fieldf(tags.Invalid, "login",
			"cannot be used here: if it is yours, sign in first and open the link again; else ask for another")
	}
	return id, err
}

// welcomeApart makes a login of the guest's own choice, with digits behind it: a refusal would
// tell them that somebody else has it. The very first has it as they wish.
func (s *Store) welcomeApart(ctx context.Context, p newcomer) (uuid.UUID, error) {
	hash, err := p.check()
	if err != nil {
		return uuid.Nil, err
	}
	if none, err := s.Nobody(ctx); err != nil || none {
		id, _, err := s.login(ctx, p, hash)
		return id, err
	}
	wish := p.login
	for range 20 {
		if p.login, err = staff.Apart(wish); err != nil {
			return uuid.Nil, tags.Fieldf(tags.Invalid, "login", "%v", err)
		}
		if id, made, err := s.login(ctx, p, hash); err != nil || made {
			return id, err
		}
	}
	return uuid.Nil, tags.Errorf(tags.Unavailable, "no such login is free; try again")
}

// login makes a person, unless somebody has the login.
func (s *Store) login(ctx context.Context, p newcomer, hash string) (id uuid.UUID, made bool, err error) {
	id = NewID()
	tag, err := s.db.Exec(ctx, `
		INSERT INTO people (id, login, name, password_hash) VALUES ($1, $2, $3, $4)
		ON CONFLICT (login) DO NOTHING`, id, p.login, p.name, hash)
	return id, tag.RowsAffected() == 1, err
}

// reset gives a login a new password and ends what somebody may have made who had the old
// one: sessions, tokens, invitations, links for players, and other links that reset it.
func (s *Store) reset(ctx context.Context, login, password string) (id uuid.UUID, err error) {
	if why := staff.Weak(password, login); why != "" {
		return id, tags.Fieldf(tags.Invalid, "password", "%s", why)
	}
	err = s.db.QueryRow(ctx, `SELECT id FROM people WHERE login = $1`, login).Scan(&id)
	if errors.Is(err, pgx.ErrNoRows) {
		return id, tags.Errorf(tags.NotFound, "nobody has this login anymore")
	}
	if err != nil {
		return id, err
	}
	hash, err := staff.HashPassword(password)
	if err != nil {
		return id, err
	}
	for _, end := range endings {
		if _, err := s.db.Exec(ctx, end, id); err != nil {
			return id, err
		}
	}
	_, err = s.db.Exec(ctx, `UPDATE people SET password_hash = $2 WHERE id = $1`, id, hash)
	return id, err
}

// endings end what a person made or holds by the old password.
var endings = []string{
	`DELETE FROM sessions WHERE person_id = $1`,
	`UPDATE tokens SET revoked_at = coalesce(revoked_at, now()) WHERE person_id = $1`,
	`DELETE FROM invitations WHERE made_by = $1 OR resets AND login = (SELECT login FROM people WHERE id = $1)`,
	`UPDATE packet_links SET ended_at = coalesce(ended_at, now()) WHERE made_by = $1`,
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
