package archive

import (
	"archive/zip"
	"bufio"
	"context"
	"crypto/sha256"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"

	"overhang/db/migrations"
	"overhang/internal/tags"
)

// Limits of what is read. A file is read as a stream, never as a whole, and no name
// in a zip is ever used as a path.
const (
	mostFiles    = 64
	mostManifest = 1 << 20
	mostLine     = 8 << 20 // a play's change, or a call, is far less
	mostBytes    = 4 << 30 // of all files, unpacked
)

// A bundle is an export that was opened and is what it says it is.
type bundle struct {
	files map[string]*zip.File
	m     manifest
}

// bad is an export that cannot be imported, in words for the one who has it.
func bad(format string, args ...any) error { return tags.Errorf(tags.Invalid, format, args...) }

// open reads what an export says of itself, and refuses what is none.
func open(r io.ReaderAt, size int64) (*bundle, error) {
	z, err := zip.NewReader(r, size)
	if err != nil && !errors.Is(err, zip.ErrInsecurePath) {
		return nil, bad("it is not a whole zip file: %v", err)
	}
	if len(z.File) > mostFiles {
		return nil, bad("it holds %d files, at most %d are an export", len(z.File), mostFiles)
	}
	b := &bundle{files: map[string]*zip.File{}}
	for _, f := range z.File {
		if b.files[f.Name] != nil {
			return nil, bad("%q is in it twice", f.Name)
		}
		b.files[f.Name] = f
	}
	f := b.files[descriptor]
	if f == nil {
		return nil, bad("it is no export: %s is not in it", descriptor)
	}
	raw, err := slurp(f)
	if err != nil {
		return nil, bad("%s: %v", descriptor, err)
	}
	if b.m, err = decodeManifest(raw); err == nil {
		err = b.m.check(migrations.Newest())
	}
	if err == nil {
		err = b.fits()
	}
	if err != nil {
		return nil, bad("%v", err)
	}
	return b, nil
}

func slurp(f *zip.File) ([]byte, error) {
	r, err := f.Open()
	if err != nil {
		return nil, err
	}
	defer r.Close()
	raw, err := io.ReadAll(io.LimitReader(r, mostManifest+1))
	if err == nil && len(raw) > mostManifest {
		err = fmt.Errorf("is larger than %d bytes", mostManifest)
	}
	return raw, err
}

// fits compares the descriptor with what the zip says it holds.
func (b *bundle) fits() error {
	var total int64
	for _, r := range b.m.Resources {
		f := b.files[r.Path]
		if f == nil {
			return fmt.Errorf("%s is not in it", r.Path)
		}
		if f.UncompressedSize64 != uint64(r.Bytes) {
			return fmt.Errorf("%s has %d bytes, %s says %d", r.Path, f.UncompressedSize64, descriptor, r.Bytes)
		}
		if total += r.Bytes; r.Bytes > mostBytes || total > mostBytes {
			return fmt.Errorf("its files are larger than %d bytes", int64(mostBytes))
		}
	}
	for name := range b.files {
		if name != descriptor && name != readme && b.resource(strings.TrimSuffix(name, ".csv")) == nil {
			return fmt.Errorf("%q is no file of an export", name)
		}
	}
	return nil
}

// resource finds a table's entry; nil without one.
func (b *bundle) resource(table string) *resource {
	for i := range b.m.Resources {
		if r := &b.m.Resources[i]; r.Name == table {
			return r
		}
	}
	return nil
}

// verify reads every file and compares its sum and its number of rows.
func (b *bundle) verify(ctx context.Context) error {
	for i := range b.m.Resources {
		r := &b.m.Resources[i]
		n := &counter{to: io.Discard, sum: sha256.New()}
		err := b.stream(r, func(f io.Reader) error {
			_, err := io.Copy(n, f)
			return err
		})
		switch {
		case err != nil:
			return bad("%s: %v", r.Path, err)
		case n.bytes != r.Bytes || n.hash() != r.Hash:
			return bad("%s is not the file that was exported: its SHA-256 is %s, %s says %s", r.Path, n.hash(), descriptor,
				r.Hash)
		case n.lines-1 != r.Rows:
			return bad("%s has %d rows, %s says %d", r.Path, n.lines-1, descriptor, r.Rows)
		case ctx.Err() != nil:
			return ctx.Err()
		}
	}
	return nil
}

// stream reads a file, never more of it than it says it has.
func (b *bundle) stream(r *resource, do func(io.Reader) error) error {
	f, err := b.files[r.Path].Open()
	if err != nil {
		return err
	}
	defer f.Close()
	return do(io.LimitReader(f, r.Bytes+1))
}

// lines hands out the cells of every line of a file, the line of names first, which
// is 1. A mistake that do finds, and what is no line, is said with file and line.
func (b *bundle) lines(r *resource, do func(line int, cells []string) error) error {
	return b.stream(r, func(f io.Reader) error {
		s := bufio.NewScanner(f)
		s.Buffer(make([]byte, 64<<10), mostLine)
		n := 0
		for s.Scan() {
			n++
			cells, err := cellsOf(s.Text(), len(r.Schema.Fields))
			if err != nil {
				return at(r.Path, n, bad("%v", err))
			}
			if err := do(n, cells); err != nil {
				return at(r.Path, n, err)
			}
		}
		if err := s.Err(); err != nil {
			return at(r.Path, n+1, bad("%v", err))
		}
		return nil
	})
}

// cellsOf reads one line: every row of an export is one.
func cellsOf(line string, want int) ([]string, error) {
	cells, err := csv.NewReader(strings.NewReader(line)).Read()
	var parse *csv.ParseError
	switch {
	case err == io.EOF:
		return nil, fmt.Errorf("is empty")
	case errors.As(err, &parse):
		return nil, fmt.Errorf("is no line of CSV: %v", parse.Err)
	case err != nil:
		return nil, err
	case len(cells) != want:
		return nil, fmt.Errorf("has %d cells, %d are columns", len(cells), want)
	}
	return cells, nil
}

// placed is a mistake that says where it is.
type placed struct{ error }

func (p placed) Unwrap() error { return p.error }

// at says where in a file a mistake is, unless that is said already or it is none
// of the file's.
func at(file string, line int, err error) error {
	e := tags.As(err)
	if e == nil || e.Kind == tags.Unavailable || errors.As(err, new(placed)) {
		return err
	}
	words := []string{}
	for _, f := range e.Fields {
		words = append(words, f.Field+": "+f.Msg)
	}
	if len(words) == 0 {
		words = append(words, e.Msg)
	}
	return placed{&tags.Error{Kind: e.Kind, Msg: fmt.Sprintf("%s:%d: %s", file, line, strings.Join(words, "; "))}}
}
