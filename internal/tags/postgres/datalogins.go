package postgres

import (
	"context"
	"crypto/hmac"
	"crypto/pbkdf2"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"fmt"
	"net"
	"net/url"
	"regexp"
	"strconv"
	"strings"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"

	"overhang/internal/tags"
)

// A DataLogin is a login at the database itself that reads one program: the views of the
// schema data, nothing else.
type DataLogin struct {
	Login     string    `db:"login"`
	CreatedAt time.Time `db:"created_at"`
}

// dataLogin is what a login may be called: what no tool needs to quote.
var dataLogin = regexp.MustCompile(`^[a-z][a-z0-9_]{0,39}$`)

// AddDataLogin makes a login for data and returns the address it comes in by, which has its
// password: it is kept nowhere. Its settings (read only, five minutes a question) are a help, not
// a wall; the wall is that it has no right to anything but the views.
func (s *Store) AddDataLogin(ctx context.Context, program uuid.UUID, login string) (_ string, err error) {
	defer wrap(&err, "AddDataLogin")
	if !dataLogin.MatchString(login) || strings.HasPrefix(login, "pg_") {
		return "", tags.Fieldf(tags.Invalid, "login", "small letters, digits and _, a letter first, at most 40; not pg_...")
	}
	password := rand.Text()
	verifier, err := scram(password)
	if err != nil {
		return "", err
	}
	role := pgx.Identifier{login}.Sanitize()
	err = pgx.BeginFunc(ctx, s.pool, func(tx pgx.Tx) error {
		if _, err := tx.Exec(ctx, `INSERT INTO data_logins (program_id, login) VALUES ($1, $2)`, program, login); err != nil {
			return err
		}
		_, err := tx.Exec(ctx, "CREATE ROLE "+role+" LOGIN NOSUPERUSER NOCREATEDB NOCREATEROLE NOBYPASSRLS "+
			"CONNECTION LIMIT 5 IN ROLE overhang_data PASSWORD '"+verifier+"'; "+
			"ALTER ROLE "+role+" SET default_transaction_read_only = on; "+
			"ALTER ROLE "+role+" SET statement_timeout = '5min'; ALTER ROLE "+role+" SET search_path = data")
		return err
	})
	if pg := new(pgconn.PgError); errors.As(err, &pg) && (pg.Code == "42710" || pg.Code == "23505") {
		return "", tags.Fieldf(tags.Conflict, "login", "this PostgreSQL has a login %s already", login)
	}
	if err != nil {
		return "", err
	}
	return s.dataAddress(login, password), nil
}

// dataAddress is where a login comes in: by the network, since a socket asks who one is there.
func (s *Store) dataAddress(login, password string) string {
	at := s.pool.Config().ConnConfig
	host := at.Host
	if strings.HasPrefix(host, "/") {
		host = "localhost"
	}
	u := url.URL{Scheme: "postgres", User: url.UserPassword(login, password), Path: "/" + at.Database,
		Host: net.JoinHostPort(host, strconv.Itoa(int(at.Port)))}
	return u.String()
}

// scram makes of a password what PostgreSQL keeps of it (RFC 5802, 3, with SHA-256 as of
// RFC 7677; the form is that of pg_authid), so that no log of statements has the password.
func scram(password string) (string, error) {
	const rounds = 4096
	salt := make([]byte, 16)
	rand.Read(salt)
	salted, err := pbkdf2.Key(sha256.New, password, salt, rounds, sha256.Size)
	if err != nil {
		return "", err
	}
	of := func(word string) []byte {
		m := hmac.New(sha256.New, salted)
		m.Write([]byte(word))
		return m.Sum(nil)
	}
	stored := sha256.Sum256(of("Client Key"))
	b64 := base64.StdEncoding.EncodeToString
	return fmt.Sprintf("SCRAM-SHA-256$%d:%s$%s:%s", rounds, b64(salt), b64(stored[:]), b64(of("Server Key"))), nil
}

// DataLogins lists those of a program.
func (s *Store) DataLogins(ctx context.Context, program uuid.UUID) (_ []DataLogin, err error) {
	defer wrap(&err, "DataLogins")
	return list[DataLogin](ctx, s.db,
		`SELECT login, created_at FROM data_logins WHERE program_id = $1 ORDER BY login`, program)
}

// EndDataLogin ends a login of a program; what it asks at the moment is answered.
func (s *Store) EndDataLogin(ctx context.Context, program uuid.UUID, login string) (err error) {
	defer wrap(&err, "EndDataLogin")
	return pgx.BeginFunc(ctx, s.pool, func(tx pgx.Tx) error {
		tag, err := tx.Exec(ctx, `DELETE FROM data_logins WHERE program_id = $1 AND login = $2`, program, login)
		if err == nil && tag.RowsAffected() == 0 {
			return tags.Errorf(tags.NotFound, "the program has no login %s for data", login)
		}
		if err == nil {
			_, err = tx.Exec(ctx, "DROP ROLE IF EXISTS "+pgx.Identifier{login}.Sanitize())
		}
		return err
	})
}
