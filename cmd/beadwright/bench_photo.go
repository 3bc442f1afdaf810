package main

import (
	"bytes"
	"context"

	"beadwright/cmd/beadwright/web"
	"beadwright/procedures"
	"beadwright/procedures/store"
)

// AddPhotos keeps pictures of a weld, all of them or none, and answers as photo add does.
func (b *workbench) AddPhotos(ctx context.Context, mark, role string, files ...[]byte) web.Result {
	return b.answer(func(a *app) error {
		shows, err := procedures.ParsePhotoRole(role)
		if err != nil {
			return err
		}
		w, _, err := b.notebook.Weld(ctx, mark)
		if err != nil {
			return err
		}
		b.album.Lock()
		defer b.album.Unlock()
		list := make([]store.NewPhoto, len(files))
		for i, file := range files {
			if list[i], err = store.TakePhoto(shows, file); err != nil {
				return err
			}
		}
		photos, err := b.notebook.AddPhotos(ctx, w.ID, list...)
		if err != nil {
			return err
		}
		return a.printJSON(map[string]any{"mark": w.Mark, "photos": photos})
	})
}

// PhotoData reads a picture by its id.
func (b *workbench) PhotoData(ctx context.Context, id, size string) (media string, data []byte, r web.Result) {
	b.album.Lock() // views that an import has left to be made are made now
	defer b.album.Unlock()
	r = b.answer(func(*app) (err error) {
		media, data, err = b.notebook.PhotoData(ctx, id, procedures.PhotoSize(size))
		return err
	})
	return media, data, r
}

// answer is what a task says, or its error as --json shows it.
func (b *workbench) answer(task func(*app) error) web.Result {
	var out bytes.Buffer
	a := &app{out: &out, err: b.report, now: b.now, json: true, nb: b.notebook}
	status := a.report(task(a))
	return web.Result{Status: status, JSON: out.Bytes()}
}

var _ web.Album = (*workbench)(nil)
