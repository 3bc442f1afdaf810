package procedures

import (
	"fmt"
	"strings"
	"time"
)

// Photo is a picture kept in the notebook, without what its file told of the place
// and the device. It says nothing of strength.
type Photo struct {
	ID     string    `json:"id"`   // UUIDv7
	At     time.Time `json:"at"`   // when it was put in
	Weld   string    `json:"weld"` // id
	Role   PhotoRole `json:"role"`
	Media  string    `json:"media"` // image/jpeg or image/png
	Bytes  int       `json:"bytes"` // of the picture kept
	Width  int       `json:"width_px"`
	Height int       `json:"height_px"`
	SHA256 string    `json:"sha256"` // of the picture kept, in hexadecimal
}

// PhotoRole says what a picture shows.
type PhotoRole string

const (
	BeforePhoto   PhotoRole = "before"
	BeadPhoto     PhotoRole = "bead"
	BackPhoto     PhotoRole = "back"
	FracturePhoto PhotoRole = "fracture"
)

// PhotoSize says how large a picture is asked for.
type PhotoSize string

const (
	WholePhoto PhotoSize = "whole" // as it is kept
	PhotoView  PhotoSize = "view"  // for a screen
	PhotoThumb PhotoSize = "thumb" // for a list
)

// LargestPhoto is the size of the largest picture taken, in bytes.
const LargestPhoto = 20 << 20

// longestPhoto is the longest side of a picture taken, in pixels.
const longestPhoto = 1 << 15

// PhotoRoles lists the roles.
func PhotoRoles() []PhotoRole {
	return []PhotoRole{BeforePhoto, BeadPhoto, BackPhoto, FracturePhoto}
}

// ParsePhotoRole reads what a picture shows; "" is the bead.
func ParsePhotoRole(s string) (PhotoRole, error) {
	role := PhotoRole(strings.ToLower(strings.TrimSpace(s)))
	if role == "" {
		return BeadPhoto, nil
	}
	if !known(role, PhotoRoles()) {
		return "", Invalid("role", s, "not what a picture shows", rolesAccepted)
	}
	return role, nil
}

const rolesAccepted = "accepted: before (the fit-up), bead, back (the far side), fracture (a coupon broken open)"

// Validate reports the first thing about the picture that cannot be.
func (p Photo) Validate() error {
	switch {
	case !known(p.Role, PhotoRoles()):
		return Invalid("role", string(p.Role), "not what a picture shows", rolesAccepted)
	case p.Media != "image/jpeg" && p.Media != "image/png":
		return Invalid("photo", p.Media, "not a picture this notebook keeps", "accepted: JPEG and PNG")
	case p.Bytes < 1 || p.Bytes > LargestPhoto:
		return Invalid("photo", fmt.Sprint(p.Bytes), "not the size of a picture this notebook keeps", "up to 20 MB")
	case p.Width < 1 || p.Height < 1 || p.Width > longestPhoto || p.Height > longestPhoto:
		return Invalid("photo", fmt.Sprintf("%d x %d", p.Width, p.Height), "not the size of a picture this notebook keeps", "up to 32768 pixels on a side")
	case len(p.SHA256) != 64 || strings.Trim(p.SHA256, "0123456789abcdef") != "":
		return Invalid("sha256", p.SHA256, "not the sum of a picture", "64 hexadecimal digits")
	}
	return nil
}
