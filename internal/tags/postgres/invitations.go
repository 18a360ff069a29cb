package postgres

import (
	"context"

	"github.com/google/uuid"

	"overhang/internal/staff"
	"overhang/internal/tags"
)

// Invite keeps an invitation and returns its secret.
func (s *Store) Invite(ctx context.Context, inv staff.Invitation) (secret string, err error) {
	defer wrap(&err, "Invite")
	if inv.Login != nil && !inv.Resets {
		login, err := staff.Login(*inv.Login)
		if err != nil {
			return "", tags.Fieldf(tags.Invalid, "login", "%v", err)
		}
		inv.Login = &login
	} else if inv.Login != nil {
		login := staff.Known(*inv.Login)
		inv.Login = &login
	}
	secret = staff.NewSecret()
	_, err = s.db.Exec(ctx, `
		INSERT INTO invitations (secret_hash, program_id, made_by, login, role, resets, expires_at)
		VALUES ($1, $2, $3, $4, $5, $6, now() + $7::interval)`,
		staff.Hash(secret), inv.Program, inv.MadeBy, inv.Login, inv.Role, inv.Resets, staff.InvitationLife)
	return secret, err
}

// standing are the invitations that let somebody in: not yet expired, and made by who runs the
// server or by somebody who is an owner still.
const standing = `
	SELECT i.id, i.program_id, p.code, p.name, i.made_by, maker.login AS maker, i.login, i.role, i.resets, i.created_at,
		i.expires_at
	FROM invitations i
	LEFT JOIN programs p ON p.id = i.program_id
	LEFT JOIN members m ON m.program_id = i.program_id AND m.person_id = i.made_by
	LEFT JOIN people maker ON maker.id = i.made_by
	WHERE i.expires_at > now() AND (i.made_by IS NULL OR m.role = 'owner')`

// Invitation returns an invitation that still stands.
func (s *Store) Invitation(ctx context.Context, secret string) (_ staff.Invitation, err error) {
	defer wrap(&err, "Invitation")
	return one[staff.Invitation](ctx, s.db, "this invitation was used, has expired, or never was one",
		standing+` AND i.secret_hash = $1`, staff.Hash(secret))
}

// Invitations lists those of a program that stand, the oldest first.
func (s *Store) Invitations(ctx context.Context, program uuid.UUID) (_ []staff.Invitation, err error) {
	defer wrap(&err, "Invitations")
	return list[staff.Invitation](ctx, s.db, standing+` AND i.program_id = $1 ORDER BY i.created_at, i.id`, program)
}

// Uninvite ends an invitation of a program.
func (s *Store) Uninvite(ctx context.Context, program, id uuid.UUID) (err error) {
	defer wrap(&err, "Uninvite")
	tag, err := s.db.Exec(ctx, `DELETE FROM invitations WHERE program_id = $1 AND id = $2`, program, id)
	if err == nil && tag.RowsAffected() == 0 {
		return tags.Errorf(tags.NotFound, "there is no such invitation")
	}
	return err
}
