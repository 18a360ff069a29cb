package main

import (
	"fmt"
	"os"
	"path/filepath"
)

// What can be known to fail is said before a database starts.

// writable reports why no file can be made in the folder of a path.
func writable(path string) error {
	f, err := os.CreateTemp(filepath.Dir(path), ".overhang-")
	if err != nil {
		return fmt.Errorf("%s cannot be written; nothing was done: %w", path, err)
	}
	f.Close()
	return os.Remove(f.Name())
}

// fresh is writable for a file that must not be there yet.
func fresh(path string) error {
	if _, err := os.Stat(path); err == nil {
		return fmt.Errorf("%s exists; nothing was done", path)
	}
	return writable(path)
}

// folder makes the folder that files go into.
func folder(path string) error {
	if err := os.MkdirAll(path, 0o755); err != nil {
		return fmt.Errorf("%s cannot be made; nothing was done: %w", path, err)
	}
	return writable(filepath.Join(path, "report"))
}

// readable reports why a file cannot be read.
func readable(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return fmt.Errorf("nothing was done: %w", err)
	}
	return f.Close()
}
