package postgres

import (
	"context"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"overhang/internal/staff"
	"overhang/internal/tags"
)

// keptWeeks is how long what a quiz told is kept after its link was made.
const keptWeeks = 26

// packetLinks reads links; stands is told by the database's clock.
const packetLinks = `
	SELECT l.id, l.program_id, l.opponent_id, l.position_group, l.made_by, maker.login AS maker,
		l.created_at, l.expires_at,
		l.ended_at IS NULL AND l.expires_at > now() AND o.id IS NOT NULL
			AND (l.made_by IS NULL OR m.role IN ('coordinator', 'owner')) AS stands,
		q.jerseys, q.answers
	FROM packet_links l
	CROSS JOIN LATERAL (SELECT count(DISTINCT a.jersey) AS jerseys, count(*) AS answers
		FROM quiz_answers a WHERE a.program_id = l.program_id AND a.link_id = l.id) q
	LEFT JOIN opponents o ON o.program_id = l.program_id AND o.id = l.opponent_id
	LEFT JOIN members m ON m.program_id = l.program_id AND m.person_id = l.made_by
	LEFT JOIN people maker ON maker.id = l.made_by`

// MakePacketLink keeps a link for a week or less and returns it with its secret. What quizzes
// told half a year ago goes.
func (s *Store) MakePacketLink(ctx context.Context, l staff.PacketLink,
	lasts time.Duration) (_ staff.PacketLink, secret string, err error) {
	defer wrap(&err, "MakePacketLink")
	l.ID, secret = NewID(), staff.NewSecret()
	err = s.transact(ctx, func(tx pgx.Tx) error {
		_, err := tx.Exec(ctx, `
			DELETE FROM packet_links WHERE program_id = $1 AND created_at < now() - make_interval(weeks => $2)`, l.Program,
			keptWeeks)
		if err != nil {
			return err
		}
		_, err = tx.Exec(ctx, `
			INSERT INTO packet_links (program_id, id, opponent_id, position_group, secret_hash, made_by, expires_at)
			VALUES ($1, $2, $3, $4, $5, $6, now() + $7::interval)`,
			l.Program, l.ID, l.Opponent, l.Group, staff.Hash(secret), l.MadeBy, lasts)
		return err
	})
	if err != nil {
		return l, "", err
	}
	l, err = one[staff.PacketLink](ctx, s.db, "there is no such link",
		packetLinks+` WHERE l.program_id = $1 AND l.id = $2`, l.Program, l.ID)
	return l, secret, err
}

// PacketLink returns the link of a secret while it stands. It looks through the walls: only
// the secret says which program it is of.
func (s *Store) PacketLink(ctx context.Context, secret string) (_ staff.PacketLink, _ tags.Program, err error) {
	defer wrap(&err, "PacketLink")
	l, err := one[staff.PacketLink](ctx, s.db, "", packetLinks+` WHERE l.secret_hash = $1`, staff.Hash(secret))
	if e := tags.As(err); e != nil && e.Kind == tags.NotFound || err == nil && !l.Stands {
		return l, tags.Program{}, tags.Errorf(tags.NotFound,
			"this link has ended, or never was one: ask your coach for this week's")
	}
	if err != nil {
		return l, tags.Program{}, err
	}
	ps, err := s.programs(ctx, `WHERE id = $1`, l.Program)
	if err != nil || len(ps) == 0 {
		return l, tags.Program{}, err
	}
	return l, ps[0], nil
}

// PacketLinks lists the links made against an opponent, the latest first.
func (s *Store) PacketLinks(ctx context.Context, program, opponent uuid.UUID) (_ []staff.PacketLink, err error) {
	defer wrap(&err, "PacketLinks")
	return list[staff.PacketLink](ctx, s.db, packetLinks+`
		WHERE l.program_id = $1 AND l.opponent_id = $2 ORDER BY l.created_at DESC, l.id DESC`, program, opponent)
}

// EndPacketLink ends a link, of one person unless anybody's may be. What was answered stays.
func (s *Store) EndPacketLink(ctx context.Context, program, id uuid.UUID, person uuid.NullUUID) (err error) {
	defer wrap(&err, "EndPacketLink")
	tag, err := s.db.Exec(ctx, `
		UPDATE packet_links SET ended_at = coalesce(ended_at, now())
		WHERE program_id = $1 AND id = $2 AND ($3::uuid IS NULL OR made_by = $3)`, program, id, person)
	if err == nil && tag.RowsAffected() == 0 {
		return tags.Errorf(tags.NotFound, "there is no such link")
	}
	return err
}

// Answer keeps the first answer of a jersey number to a question; a later one changes nothing.
func (s *Store) Answer(ctx context.Context, l staff.PacketLink, a tags.QuizAnswer) (err error) {
	defer wrap(&err, "Answer")
	_, err = s.db.Exec(ctx, `
		INSERT INTO quiz_answers (program_id, link_id, question, jersey, call, man, rule_when, rule_do, fits)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)
		ON CONFLICT DO NOTHING`, l.Program, l.ID, a.Question, a.Jersey, a.Call, a.Man, a.When, a.Do, a.Fits)
	return err
}

// RuleCounts counts the answers to each rule in the quizzes against an opponent, what was
// missed most first.
func (s *Store) RuleCounts(ctx context.Context, program, opponent uuid.UUID) (_ []tags.RuleCount, err error) {
	defer wrap(&err, "RuleCounts")
	return list[tags.RuleCount](ctx, s.db, `
		SELECT l.position_group, a.call, a.man, a.rule_when, a.rule_do, count(*) AS answered,
			count(*) FILTER (WHERE NOT a.fits) AS missed,
			coalesce(array_agg(DISTINCT a.jersey ORDER BY a.jersey) FILTER (WHERE NOT a.fits), '{}') AS jerseys
		FROM quiz_answers a JOIN packet_links l ON l.program_id = a.program_id AND l.id = a.link_id
		WHERE l.program_id = $1 AND l.opponent_id = $2
		GROUP BY 1, 2, 3, 4, 5
		ORDER BY missed DESC, answered, 1, 2, 3, 4, 5`, program, opponent)
}
