package procedures

import (
	"fmt"
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

// LargestPhoto is the size of the largest picture taken, in bytes.
const LargestPhoto = 20 << 20

// PhotoRoles lists the roles.
func PhotoRoles() []PhotoRole {
	return []PhotoRole{BeforePhoto, BeadPhoto, BackPhoto, FracturePhoto}
}

// Validate reports the first thing about the picture that cannot be.
func (p Photo) Validate() error {
	switch {
	case !known(p.Role, PhotoRoles()):
		return Invalid("role", string(p.Role), "not what a picture shows", "accepted: before, bead, back, fracture")
	case p.Media != "image/jpeg" && p.Media != "image/png":
		return Invalid("photo", p.Media, "not a picture this notebook keeps", "accepted: JPEG and PNG")
	case p.Bytes < 1 || p.Bytes > LargestPhoto:
		return Invalid("photo", fmt.Sprint(p.Bytes), "not the size of a picture this notebook keeps", "up to 20 MB")
	}
	return nil
}
