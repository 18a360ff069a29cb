package postgres

import (
	"errors"
	"fmt"
	"io"
	"net"
	"os"
	"syscall"
	"testing"

	"github.com/jackc/pgx/v5/pgconn"

	"overhang/internal/tags"
)

// TestTranslate: SQLSTATEs by class of the PostgreSQL manual, appendix A (MEM);
// what an operating system says about a broken connection by errno (POSIX).
func TestTranslate(t *testing.T) {
	for _, tt := range []struct {
		err  error
		kind tags.Kind // 0: ours
	}{
		{&pgconn.PgError{Code: "40P01"}, tags.Unavailable}, // deadlock_detected
		{&pgconn.PgError{Code: "40001"}, tags.Unavailable}, // serialization_failure
		{&pgconn.PgError{Code: "25006"}, tags.Unavailable}, // read_only_sql_transaction
		{&pgconn.PgError{Code: "53100"}, tags.Unavailable}, // disk_full
		{&pgconn.PgError{Code: "57P01"}, tags.Unavailable}, // admin_shutdown
		{&pgconn.PgError{Code: "22021"}, tags.Invalid},     // character_not_in_repertoire
		{&pgconn.PgError{Code: "22P05"}, tags.Invalid},     // untranslatable_character
		{&pgconn.PgError{Code: "21000"}, tags.Invalid},     // cardinality_violation
		{&pgconn.PgError{Code: "42601"}, 0},                // syntax_error: ours
		{&pgconn.PgError{Code: "42P01"}, 0},                // undefined_table: ours
		{&net.OpError{Op: "write", Err: os.NewSyscallError("write", syscall.EPIPE)}, tags.Unavailable},
		{fmt.Errorf("write failed: %w", syscall.EPIPE), tags.Unavailable},
		{fmt.Errorf("receive: %w", syscall.ECONNRESET), tags.Unavailable},
		{fmt.Errorf("receive message failed: %w", io.ErrUnexpectedEOF), tags.Unavailable},
		{errors.New("something else"), 0},
	} {
		err := tt.err
		wrap(&err, "Test")
		switch e := tags.As(err); {
		case e == nil && tt.kind != 0, e != nil && e.Kind != tt.kind:
			t.Errorf("%v becomes %v; want kind %d", tt.err, err, tt.kind)
		}
	}
}
