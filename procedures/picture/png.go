package picture

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"io"
	"slices"
)

const pngHead = "\x89PNG\r\n\x1a\n"

// pngKept are the chunks that the picture is shown with. Color profiles are not
// among them: they may hold names, and a bead can be seen without.
var pngKept = []string{"IHDR", "PLTE", "tRNS", "gAMA", "sRGB"}

// pngAlone copies from a PNG the chunks that it is shown with, and of the picture's
// own data the one stream that holds it.
func pngAlone(file []byte) (alone []byte, turn orientation, err error) {
	out := append(make([]byte, 0, len(file)), pngHead...)
	var data []byte
	var seen []string
	for rest := file[len(pngHead):]; ; {
		if len(rest) < 12 {
			return nil, 0, io.ErrUnexpectedEOF
		}
		n := int64(binary.BigEndian.Uint32(rest))
		if n > int64(len(rest)-12) {
			return nil, 0, io.ErrUnexpectedEOF
		}
		whole, kind, body := rest[:n+12], string(rest[4:8]), rest[8:n+8]
		rest = rest[n+12:]
		if crc32.ChecksumIEEE(whole[4:n+8]) != binary.BigEndian.Uint32(whole[n+8:]) {
			return nil, 0, errors.New("a sum in it does not come out")
		}
		switch {
		case kind == "IEND":
			if data, err = stream(data); err != nil {
				return nil, 0, err
			}
			return chunk(chunk(out, "IDAT", data), "IEND", nil), turn, nil
		case kind == "IDAT":
			data = append(data, body...)
		case kind == "eXIf":
			turn = orientationOf(body)
		case slices.Contains(pngKept, kind) && data == nil && !slices.Contains(seen, kind):
			out, seen = append(out, whole...), append(seen, kind)
		}
	}
}

// chunk adds a chunk with its sum.
func chunk(out []byte, kind string, body []byte) []byte {
	out = binary.BigEndian.AppendUint32(out, uint32(len(body)))
	start := len(out)
	out = append(append(out, kind...), body...)
	return binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(out[start:]))
}

// stream cuts off what stands behind the compressed picture. How much comes out of
// it has a bound: nobody counts on more than [MostPixels] of 8 bytes, with room for
// the byte that begins a row.
func stream(data []byte) ([]byte, error) {
	r := bytes.NewReader(data)
	z, err := zlib.NewReader(r)
	if err != nil {
		return nil, err
	}
	defer z.Close()
	if n, err := io.Copy(io.Discard, io.LimitReader(z, 9*MostPixels)); err != nil {
		return nil, err
	} else if n == 9*MostPixels {
		return nil, errors.New("more comes out of it than a picture holds")
	}
	return data[:len(data)-r.Len()], nil
}
