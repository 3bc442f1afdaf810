package picture

import (
	"bytes"
	"errors"
	"io"
)

// Markers of a JPEG (T.81, table B.1).
const (
	markSOF0 = 0xc0 // baseline
	markSOF2 = 0xc2 // progressive
	markDHT  = 0xc4
	markRST0 = 0xd0
	markRST7 = 0xd7
	markSOI  = 0xd8
	markEOI  = 0xd9
	markSOS  = 0xda
	markDQT  = 0xdb
	markDRI  = 0xdd
	markAPP0 = 0xe0
	markAPP1 = 0xe1
	markAPPE = 0xee
	markAPPF = 0xef
	markCOM  = 0xfe
)

// jfif says how the numbers are colors (T.871), and nothing else: no density, no
// small copy.
var jfif = []byte("\xff\xe0\x00\x10JFIF\x00\x01\x01\x00\x00\x01\x00\x01\x00\x00")

// jpegAlone copies from a JPEG the segments that the picture is decoded with: its
// frame, tables and scans. Of the segments for applications only two say how the
// numbers are colors; they are written anew with nothing else in them. What stands
// between segments and behind the end is left out.
func jpegAlone(file []byte) (alone []byte, turn orientation, err error) {
	out := make([]byte, 0, len(file))
	out = append(out, 0xff, markSOI)
	rest := file[2:]
	var hasJFIF, framed bool
	for {
		i := bytes.IndexByte(rest, 0xff)
		if i < 0 {
			return nil, 0, io.ErrUnexpectedEOF
		}
		for i < len(rest) && rest[i] == 0xff { // any number of them may come first
			i++
		}
		if i == len(rest) {
			return nil, 0, io.ErrUnexpectedEOF
		}
		mark := rest[i]
		rest = rest[i+1:]
		switch {
		case mark == 0 || mark >= markRST0 && mark <= markRST7:
			continue
		case mark == markEOI:
			if !framed {
				return nil, 0, errors.New("there is no picture before its end")
			}
			return append(out, 0xff, markEOI), turn, nil
		}
		if len(rest) < 2 {
			return nil, 0, io.ErrUnexpectedEOF
		}
		n := int(rest[0])<<8 | int(rest[1])
		if n < 2 {
			return nil, 0, errors.New("a segment without its length")
		}
		if n > len(rest) {
			return nil, 0, io.ErrUnexpectedEOF
		}
		body := rest[2:n]
		switch {
		case mark >= markSOF0 && mark <= markSOF2, mark == markDHT, mark == markDQT, mark == markDRI, mark == markSOS:
			framed = framed || mark == markSOS
			out = append(append(out, 0xff, mark), rest[:n]...)
		case mark == markAPP0 && bytes.HasPrefix(body, []byte("JFIF\x00")):
			if !hasJFIF {
				out, hasJFIF = append(out, jfif...), true
			}
		case mark == markAPP1 && bytes.HasPrefix(body, []byte("Exif\x00\x00")):
			if turn == 0 {
				turn = orientationOf(body[6:])
			}
		case mark == markAPPE && bytes.HasPrefix(body, []byte("Adobe")) && len(body) >= 12:
			out = append(out, "\xff\xee\x00\x0eAdobe\x00\x64\x00\x00\x00\x00"...)
			out = append(out, body[11]) // how the numbers are colors
		case mark >= markAPP0 && mark <= markAPPF || mark == markCOM:
		default:
			return nil, 0, errors.New("a segment that no photo has")
		}
		rest = rest[n:]
		if mark == markSOS {
			n := entropy(rest)
			out, rest = append(out, rest[:n]...), rest[n:]
		}
	}
}

// entropy is how many bytes of a scan follow: up to the next marker that does not
// belong to it.
func entropy(b []byte) int {
	for i := 0; ; {
		at := bytes.IndexByte(b[i:], 0xff)
		if at < 0 {
			return len(b)
		}
		i += at
		if i+1 == len(b) {
			return len(b)
		}
		if next := b[i+1]; next != 0 && (next < markRST0 || next > markRST7) {
			return i
		}
		i += 2
	}
}
