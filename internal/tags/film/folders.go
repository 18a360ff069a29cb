package film

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
	"syscall"

	"overhang/internal/tags"
)

// kinds are the files that are served, by extension, with the media type they
// are served as: whatever else lies in an allowed folder stays there.
var kinds = map[string]string{".mp4": "video/mp4", ".m4v": "video/mp4", ".mov": "video/quicktime",
	".webm": "video/webm", ".mkv": "video/x-matroska", ".ogv": "video/ogg"}

// Folders are the folders an operator allowed, by the code of the one program
// that may see each: two staffs on one server do not see each other's film. The
// zero value allows none.
type Folders struct{ of map[string][]folder }

type folder struct {
	path string
	root *os.Root
}

// Allow adds a folder, as the flag of the command gives it: program=folder. It
// fails when the form is another, or the folder cannot be opened.
func (f *Folders) Allow(flag string) error {
	program, dir, ok := strings.Cut(flag, "=")
	if !ok || program == "" || dir == "" {
		return fmt.Errorf("%q is not program=folder", flag)
	}
	dir, err := filepath.Abs(dir)
	if err != nil {
		return err
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return err
	}
	if f.of == nil {
		f.of = map[string][]folder{}
	}
	f.of[program] = append(f.of[program], folder{dir, root})
	return nil
}

// A Recording is an open local film.
type Recording struct {
	*os.File
	Info fs.FileInfo
	Kind string // media type
}

// Open opens a program's film: an absolute path inside one of its folders, or a
// path from one of them. Neither .. nor a symbolic link leads out of a folder
// (os.Root keeps that). Conflict for an address, and for a path that no folder
// of the program holds, whether or not a file is there; NotFound for a file
// that is missing inside one.
func (f *Folders) Open(program, location string) (*Recording, error) {
	if Remote(location) {
		return nil, tags.Errorf(tags.Conflict, "the film is at an address, and this server fetches none: open %s", location)
	}
	kind, ok := kinds[strings.ToLower(path.Ext(location))]
	if !ok {
		return nil, tags.Errorf(tags.Conflict,
			"the film's file is not of a kind that is served (mp4, m4v, mov, webm, mkv, ogv)")
	}
	missing := false
	for _, d := range f.of[program] {
		name := location
		if filepath.IsAbs(location) {
			rel, err := filepath.Rel(d.path, location)
			if err != nil || !filepath.IsLocal(rel) {
				continue
			}
			name = rel
		}
		switch r, err := open(d.root, name, kind); {
		case err == nil:
			return r, nil
		case absent(err):
			missing = true
		case !escapes(err):
			return nil, fmt.Errorf("film: %w", err)
		}
	}
	if missing {
		return nil, tags.Errorf(tags.NotFound, "the film's file is not there")
	}
	return nil, tags.Errorf(tags.Conflict,
		"the film's file is in no folder that the server's operator allowed for this program (flag -films)")
}

func open(root *os.Root, name, kind string) (*Recording, error) {
	// Looked at before it is opened: opening a pipe would wait for its writer.
	info, err := root.Stat(name)
	if err == nil && !info.Mode().IsRegular() {
		err = fs.ErrNotExist // a folder or a device is no film
	}
	if err != nil {
		return nil, err
	}
	file, err := root.Open(name)
	if err != nil {
		return nil, err
	}
	return &Recording{file, info, kind}, nil
}

// absent says that a path leads to no file.
func absent(err error) bool {
	for _, e := range []error{fs.ErrNotExist, syscall.ENOTDIR, syscall.ENAMETOOLONG, syscall.EINVAL, syscall.ELOOP} {
		if errors.Is(err, e) {
			return true
		}
	}
	return false
}

// escapes says that os.Root refused a path that leads out of it; the standard
// library exports no error for that.
func escapes(err error) bool {
	var pe *fs.PathError
	return errors.As(err, &pe) && strings.Contains(pe.Err.Error(), "escapes")
}

// Remote says that a location is an address and not a path.
func Remote(location string) bool { return strings.Contains(location, "://") }
