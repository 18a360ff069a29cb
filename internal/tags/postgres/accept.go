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
	if why := tags.NoLine(p.name); why != "" {
		return "", tags.Fieldf(tags.Invalid, "name", "%s", why)
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
