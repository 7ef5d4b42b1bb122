package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"footwork/reports/page"
)

// writeWhole writes a file so that it appears whole or not at all.
func writeWhole(name string, write func(io.Writer) error) error {
	f, err := beginWhole(name)
	if err != nil {
		return err
	}
	defer func() { // nothing is left of it when all goes well, nor when what writes panics
		f.Close()
		os.Remove(f.Name())
	}()
	mode := fs.FileMode(0o644)
	if i, err := os.Stat(name); err == nil {
		mode = i.Mode().Perm()
	}
	if err = write(f); err == nil {
		err = f.Chmod(mode)
	}
	if err == nil {
		err = f.Sync()
	}
	if err = errors.Join(err, f.Close()); err == nil {
		err = os.Rename(f.Name(), name)
	}
	if err != nil {
		return fmt.Errorf("%s was not written: %w", name, err)
	}
	return nil
}

// whole writes what is there already.
func whole(data []byte) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	}
}

// beginWhole opens a file beside the one that is to appear.
func beginWhole(name string) (*os.File, error) {
	if there, err := os.Stat(name); err == nil && !there.Mode().IsRegular() {
		return nil, fmt.Errorf("%s was not written: a folder or a device is there, no file", name)
	}
	f, err := os.CreateTemp(filepath.Dir(name), ".footwork-*")
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("%s was not written: there is no folder %s", name, filepath.Dir(name))
	}
	if err != nil {
		return nil, fmt.Errorf("%s was not written: %w", name, err)
	}
	return f, nil
}

// canWrite tells before the work whether its file can be written after it.
func canWrite(name string) error {
	f, err := beginWhole(name)
	if err != nil {
		return err
	}
	return errors.Join(f.Close(), os.Remove(f.Name()))
}

// content is what a file is to hold.
type content struct {
	name string
	data []byte
}

// writeAll writes files, none of them over anything else.
func writeAll(files []content) error {
	for _, f := range files {
		old, err := readFile(os.Stat, os.Open, f.name)
		if _, missing := os.Lstat(f.name); missing == nil && (err != nil || !bytes.Equal(old, f.data)) {
			return usagef("%s is there already and is not written over", f.name)
		}
	}
	for _, f := range files {
		if err := writeWhole(f.name, whole(f.data)); err != nil {
			return err
		}
	}
	return nil
}

// sameFile tells whether two names are of one file that is there.
func sameFile(a, b string) bool {
	one, err := os.Stat(a)
	if err != nil {
		return false
	}
	other, err := os.Stat(b)
	return err == nil && os.SameFile(one, other)
}

// mayReplace tells whether a page may be written to a name: there is nothing, or
// a page of ours by the mark in its head.
func mayReplace(name string) bool {
	if i, err := os.Stat(name); err != nil || !i.Mode().IsRegular() {
		return true // writeWhole says what is wrong
	}
	f, err := os.Open(name)
	if err != nil {
		return false
	}
	defer f.Close()
	head := make([]byte, 1024)
	n, _ := io.ReadFull(f, head)
	return bytes.Contains(head[:n], []byte(page.Mark))
}
