package main

import (
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"beadwright/cmd/beadwright/web"
	"beadwright/procedures/store"
)

// phones is the list of paired devices: a file beside the notebook, for its owner's
// eyes alone. It is no part of the notebook, so that a copy of that lets nobody in.
// Another program may change it (serve --revoke): it is read again when it did.
type phones struct {
	path string

	mu   sync.Mutex
	seen fs.FileInfo // of the file as it was read; nil: there was none
	list []web.Phone
}

func newPhones(notebook string) *phones { return &phones{path: notebook + ".phones"} }

// Phones lists the devices, the one paired last at the end.
func (p *phones) Phones() ([]web.Phone, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if err := p.read(); err != nil {
		return nil, err
	}
	return slices.Clone(p.list), nil
}

func (p *phones) read() error {
	info, err := os.Stat(p.path)
	if errors.Is(err, fs.ErrNotExist) {
		p.list, p.seen = nil, nil
		return nil
	} else if err != nil {
		return p.fail("cannot be read", err)
	}
	if p.seen != nil && os.SameFile(info, p.seen) && info.ModTime().Equal(p.seen.ModTime()) && info.Size() == p.seen.Size() {
		return nil
	}
	body, err := os.ReadFile(p.path)
	if err != nil {
		return p.fail("cannot be read", err)
	}
	var list []web.Phone
	if err := json.Unmarshal(body, &list); err != nil {
		return p.fail("is damaged", err)
	}
	p.list, p.seen = list, info
	return nil
}

// Add puts a device on the list.
func (p *phones) Add(phone web.Phone) error {
	return p.change(func(list []web.Phone) []web.Phone { return append(list, phone) })
}

// Remove takes a device off the list, or all of them, and says how many it took.
func (p *phones) Remove(name string) (removed int, err error) {
	err = p.change(func(list []web.Phone) []web.Phone {
		kept := slices.DeleteFunc(list, func(have web.Phone) bool {
			return strings.EqualFold(name, "all") || strings.EqualFold(name, have.Name)
		})
		removed = len(list) - len(kept)
		return kept
	})
	return removed, err
}

// change writes the list anew, whole or not at all.
func (p *phones) change(do func([]web.Phone) []web.Phone) error {
	p.mu.Lock()
	defer p.mu.Unlock()
	unlock, err := p.lock()
	if err != nil {
		return err
	}
	defer unlock()
	p.seen = nil
	if err := p.read(); err != nil {
		return err
	}
	list := do(slices.Clone(p.list))
	if list == nil {
		list = []web.Phone{}
	}
	body, err := json.MarshalIndent(list, "", " ")
	if err != nil {
		return err
	}
	f, err := os.CreateTemp(filepath.Dir(p.path), filepath.Base(p.path)+".part-*") // made for its owner alone
	if err != nil {
		return p.fail("cannot be written", err)
	}
	defer os.Remove(f.Name()) // gone already where all went well
	if _, err = f.Write(append(body, '\n')); err == nil {
		err = f.Sync()
	}
	if closed := f.Close(); err == nil {
		err = closed
	}
	if err == nil {
		err = os.Rename(f.Name(), p.path)
	}
	if err != nil {
		return p.fail("cannot be written", err)
	}
	p.seen = nil // read what was written
	return p.read()
}

// lock keeps two programs from changing the list at once: the later would undo
// what the earlier did. A lock that was left lying is broken after a while.
func (p *phones) lock() (unlock func(), err error) {
	path := p.path + ".lock"
	for tries := 0; ; tries++ {
		f, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
		if err == nil {
			f.Close()
			return func() { os.Remove(path) }, nil
		}
		if !errors.Is(err, fs.ErrExist) {
			return nil, p.fail("cannot be written", err)
		}
		if info, err := os.Stat(path); err == nil && time.Since(info.ModTime()) > 10*time.Second {
			os.Remove(path)
		}
		if tries == 200 {
			return nil, p.fail("is held by another program", nil)
		}
		time.Sleep(10 * time.Millisecond)
	}
}

func (p *phones) fail(problem string, err error) error {
	return &store.FileError{Path: p.path, Kind: store.Permission, Problem: "the list of paired devices " + problem, Err: err,
		Hints: []string{"look at the file and its folder; without it no device is paired, and each can be paired anew"}}
}

var _ web.Phones = (*phones)(nil)
