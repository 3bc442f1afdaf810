package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

func newPhoto(a *app) *cobra.Command {
	cmd := &cobra.Command{
		Use: "photo", Short: "Keep pictures of a weld in the notebook",
		Long: `Keeps pictures of a weld in the notebook: JPEG or PNG up to 20 MB. What the file
tells of place, time and device is left out, and your own file stays as it is. A
picture shows looks. It never says what a weld bears; a broken or bent coupon does.

For a picture worth having: a coin or ruler in it, light from the side, and never
the arc. Good ones are the bead, the back, and the face of a coupon broken open.`,
		Example: "  beadwright photo add A7 bead.jpg\n  beadwright photo list A7",
		Args:    cobra.NoArgs,
		RunE:    func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.AddCommand(newPhotoAdd(a), newPhotoList(a), newPhotoGet(a), newPhotoStrike(a))
	return cmd
}

func newPhotoAdd(a *app) *cobra.Command {
	var role string
	cmd := &cobra.Command{
		Use: "add MARK FILE...", Short: "Put pictures of a weld into the notebook",
		Example: "  beadwright photo add A7 bead.jpg\n  beadwright photo add A7 broken.jpg --role fracture",
		Args:    cobra.MinimumNArgs(2),
		RunE: func(cmd *cobra.Command, args []string) error {
			nb, err := a.mustExist(cmd.Context(), "log 4")
			if err != nil {
				return err
			}
			shows, err := procedures.ParsePhotoRole(role)
			if err != nil {
				return err
			}
			var shots []shot
			for _, path := range args[1:] {
				s, err := readShot(path, shows)
				if err != nil {
					return err
				}
				shots = append(shots, s)
			}
			w, _, err := nb.Weld(cmd.Context(), args[0])
			if err != nil {
				return err
			}
			had, err := nb.Photos(cmd.Context(), w.Mark)
			if err != nil {
				return err
			}
			photos, err := nb.AddPhotos(cmd.Context(), w.ID, taken(shots)...)
			if err != nil {
				return err
			}
			if a.json {
				return a.printJSON(map[string]any{"mark": w.Mark, "photos": photos})
			}
			old := 0
			for _, p := range photos {
				if slices.ContainsFunc(had, func(h procedures.Photo) bool { return h.ID == p.ID }) {
					old++
				}
			}
			if added := len(photos) - old; added > 0 {
				a.line(w.Mark, fmt.Sprintf("%s in the notebook. What the file told of place and device is left out", counted(added, "picture")))
			}
			if old > 0 {
				a.line(w.Mark, fmt.Sprintf("%s there already: nothing was added for it", counted(old, "picture")))
			}
			a.printPhotos(photos)
			return nil
		},
	}
	cmd.Flags().StringVar(&role, "role", "bead", "what it shows: before, bead, back, fracture")
	completeRoles(cmd, a, "role", "")
	return cmd
}

func completeRoles(cmd *cobra.Command, a *app, flag, before string) {
	a.completes(cmd, flag, func(*cobra.Command, []string, string) (all []string, _ cobra.ShellCompDirective) {
		for _, r := range procedures.PhotoRoles() {
			all = append(all, before+string(r))
		}
		return all, cobra.ShellCompDirectiveNoFileComp
	})
}

func newPhotoList(a *app) *cobra.Command {
	return &cobra.Command{
		Use: "list [MARK]", Short: "The pictures of a weld, or of all", Example: "  beadwright photo list A7", Args: cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			nb, err := a.mustExist(cmd.Context(), "log 4 --photo FILE")
			if err != nil {
				return err
			}
			photos, err := nb.Photos(cmd.Context(), strings.Join(args, ""))
			if err != nil {
				return err
			}
			if a.json {
				return a.printJSON(map[string]any{"photos": append([]procedures.Photo{}, photos...)})
			}
			if len(photos) == 0 {
				a.printf("no picture is kept here. Put one in: beadwright photo add MARK FILE\n")
				return nil
			}
			marks := map[string]string{}
			for _, p := range photos {
				if marks[p.Weld] == "" {
					w, _, err := nb.Weld(cmd.Context(), p.Weld)
					if err != nil {
						return err
					}
					marks[p.Weld] = w.Mark
				}
				a.line(marks[p.Weld], photoText(p))
			}
			a.printf("to have one as a file: beadwright photo get %s FILE\n", store.ShortID(photos[0].ID))
			return nil
		},
	}
}

func newPhotoGet(a *app) *cobra.Command {
	var size string
	var force bool
	cmd := &cobra.Command{
		Use: "get ID FILE", Short: "Write a picture into a file", Example: "  beadwright photo get 3f9a12bc bead.jpg", Args: cobra.ExactArgs(2),
		RunE: func(cmd *cobra.Command, args []string) error {
			nb, err := a.mustExist(cmd.Context(), "log 4 --photo FILE")
			if err != nil {
				return err
			}
			p, err := nb.Photo(cmd.Context(), args[0])
			if err != nil {
				return err
			}
			media, data, err := nb.PhotoData(cmd.Context(), p.ID, procedures.PhotoSize(size))
			if err != nil {
				return err
			}
			if err := writeNew(args[1], data, force); err != nil {
				return err
			}
			if a.json {
				return a.printJSON(map[string]any{"photo": p, "size": size, "media": media, "file": args[1], "written_bytes": len(data)})
			}
			a.printf("written to %s: %s, %s\n", args[1], photoText(p), bytesText(len(data)))
			return nil
		},
	}
	cmd.Flags().StringVar(&size, "size", "whole", "whole, view (1600 pixels), thumb (320)")
	cmd.Flags().BoolVar(&force, "force", false, "write over a file that is there")
	return cmd
}

// writeNew writes a file that is not there yet; with force it is replaced, whole or
// not at all.
func writeNew(path string, data []byte, force bool) error {
	if info, err := os.Stat(path); err == nil && (info.IsDir() || !force) {
		if info.IsDir() {
			return procedures.Invalid("file", path, "that is a folder", "name a file in it")
		}
		return procedures.Invalid("file", path, "there is such a file already", "another name, or --force to write over it")
	}
	temp, err := os.CreateTemp(filepath.Dir(path), ".beadwright-*")
	if err != nil {
		return cannotWrite(path, err)
	}
	defer os.Remove(temp.Name())
	_, err = temp.Write(data)
	if err := errors.Join(err, temp.Sync(), temp.Close()); err != nil {
		return cannotWrite(path, err)
	}
	if force {
		return os.Rename(temp.Name(), path)
	}
	if err := os.Link(temp.Name(), path); err == nil { // refuses a file that has come up since
		return nil
	}
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600) // on disks that know no links
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	return errors.Join(err, f.Close())
}

func newPhotoStrike(a *app) *cobra.Command {
	var why string
	cmd := &cobra.Command{
		Use: "strike ID", Short: "Withdraw a picture: kept, and shown no more", Example: "  beadwright photo strike 3f9a12bc --why 'another bead'", Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			nb, err := a.mustExist(cmd.Context(), "log 4 --photo FILE")
			if err != nil {
				return err
			}
			why = oneLine(why)
			p, err := nb.StrikePhoto(cmd.Context(), args[0], why)
			if err != nil {
				return err
			}
			if a.json {
				return a.printJSON(map[string]any{"photo": p, "struck": why})
			}
			a.printf("struck %s: %s. It stays in the notebook's file, and is shown no more\n", photoText(p), why)
			return nil
		},
	}
	cmd.Flags().StringVar(&why, "why", "", "why it is withdrawn")
	return cmd
}

// shot is a picture that was read and is still to be kept.
type shot struct {
	path string
	store.NewPhoto
}

// readShots reads what --photo names: FILE, or FILE=ROLE.
func readShots(said []string) (shots []shot, err error) {
	for _, s := range said {
		path, role := s, procedures.BeadPhoto
		if i := strings.LastIndexByte(s, '='); i > 0 && slices.Contains(procedures.PhotoRoles(), procedures.PhotoRole(s[i+1:])) {
			if _, err := os.Stat(s); err != nil {
				path, role = s[:i], procedures.PhotoRole(s[i+1:])
			}
		}
		one, err := readShot(path, role)
		if err != nil {
			return nil, err
		}
		if i := slices.IndexFunc(shots, func(s shot) bool { return s.SHA256 == one.SHA256 && s.Role != role }); i >= 0 { // before a weld is written down with it
			return nil, procedures.Invalid("photo", said[len(shots)], fmt.Sprintf("this very picture was named already, as one of: %s", shots[i].Role), "name it once")
		}
		shots = append(shots, one)
	}
	return shots, nil
}

// readShot takes a picture out of a file.
func readShot(path string, role procedures.PhotoRole) (shot, error) {
	f, err := os.Open(path)
	if err != nil {
		return shot{}, cannotRead("photo", path, err, "the file's path, as your shell completes it", "what it shows goes behind it: bead.jpg=back (before, bead, back, fracture)")
	}
	defer f.Close()
	if info, err := f.Stat(); err != nil || !info.Mode().IsRegular() {
		return shot{}, procedures.Invalid("photo", path, "that is no file", "the path of a picture")
	}
	file, err := io.ReadAll(io.LimitReader(f, procedures.LargestPhoto+1))
	if err != nil {
		return shot{}, cannotRead("photo", path, err, "another copy of it, should the disk be bad")
	}
	p, err := store.TakePhoto(role, file)
	var bad *procedures.InvalidError
	if errors.As(err, &bad) && bad.Read == "" {
		bad.Read = filepath.Base(path)
	}
	return shot{path, p}, err
}

// taken are the pictures themselves.
func taken(shots []shot) []store.NewPhoto {
	list := make([]store.NewPhoto, len(shots))
	for i, s := range shots {
		list[i] = s.NewPhoto
	}
	return list
}

// keepShots puts pictures of a weld that was just written down into the notebook, all
// of them or none: where it fails, the weld stands all the same, and is to be told.
func (a *app) keepShots(ctx context.Context, nb *store.Notebook, w procedures.Weld, shots []shot) ([]procedures.Photo, error) {
	if len(shots) == 0 {
		return []procedures.Photo{}, nil
	}
	photos, err := nb.AddPhotos(ctx, w.ID, taken(shots)...)
	if err != nil {
		paths := make([]string, len(shots))
		for i, s := range shots {
			paths[i] = s.path
		}
		a.warn("%s is written down, and none of its pictures: beadwright photo add %s %s", w.Mark, w.Mark, strings.Join(paths, " "))
	}
	return photos, err
}

func (a *app) printPhotos(photos []procedures.Photo) {
	for _, p := range photos {
		a.line("photo", photoText(p))
	}
}

// photoText names a picture: what it shows, its size, and what to call it by.
func photoText(p procedures.Photo) string {
	return fmt.Sprintf("%s, %s, %d x %d, %s, id %s", p.Role, p.At.Local().Format(time.DateOnly), p.Width, p.Height, bytesText(p.Bytes), store.ShortID(p.ID))
}

func bytesText(n int) string {
	if n < 1<<20 {
		return fmt.Sprintf("%d KB", max(1, n>>10))
	}
	return fmt.Sprintf("%.1f MB", float64(n)/(1<<20))
}
