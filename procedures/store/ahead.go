package store

import (
	"bufio"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math/bits"
	"os"
)

// ahead is what the write-ahead log beside a notebook shows (file format of SQLite,
// "The Write-Ahead Log"): how far its entries can be read, and whether there are
// more behind that were acknowledged and cannot be.
//
// SQLite reads a log up to the first entry whose sum is wrong, and takes that one
// for the last, cut off when the power went. So a bit that was turned further up
// takes everything after it away without a word.
//
// What lies behind the end of a sound log looks much like that: a disk may have kept
// the later sectors of what was being written when the power went and not the first,
// and where the next writer wrote less, and the power went again, the ends of several
// such writes lie there, of this same round of the log. But none of them was gone on
// from. A writer begins only behind a commit that is on disk, and each frame carries
// the sums of all before it: so a frame that goes on from the sums of a commit proves
// that this commit, and with it everything before, could once be read. Without that
// proof a log is taken for sound: damage of the last commit, and damage that also hits
// the border behind the last but one, look no different from a write that was cut off.
type ahead struct {
	salt   uint64 // of this round of the log
	whole  int64  // bytes, up to the last entry that can be read
	broken bool
}

const (
	logHead   = 32 // bytes
	frameHead = 24
)

// soundLog refuses a notebook whose log is damaged further up than in its last
// entry. What is seen there must be seen three times: another program may be writing.
func soundLog(path string) error {
	var before ahead
	for i := range 3 {
		now, err := readAhead(path + "-wal")
		if err != nil || !now.broken || i > 0 && now != before {
			return nil // what cannot be read at all, SQLite will say
		}
		before = now
	}
	return &FileError{Path: path, Kind: Damaged, Problem: fmt.Sprintf("the notebook is damaged: its log, %s-wal, cannot be read from byte %d on, and there are entries behind", path, before.whole),
		Hints: []string{"copy both files before doing anything else, then go back to the last backup", fmt.Sprintf("or go on without these entries: truncate -s %d %s-wal", before.whole, path)}}
}

func readAhead(path string) (l ahead, err error) {
	f, err := os.Open(path)
	if errors.Is(err, os.ErrNotExist) {
		return l, nil
	}
	if err != nil {
		return l, err
	}
	defer f.Close()
	in := bufio.NewReaderSize(f, 1<<16)
	head := make([]byte, logHead)
	if _, err := io.ReadFull(in, head); err != nil {
		return l, nil // shorter than its head: empty
	}
	s := sums{order: binary.LittleEndian}
	if head[3]&1 != 0 {
		s.order = binary.BigEndian
	}
	s.add(head[:24])
	readable := s.are(head[24:])
	page := int(binary.BigEndian.Uint32(head[8:]))
	if page < 512 || page > 65536 || bits.OnesCount(uint(page)) != 1 {
		page = 4096
	}
	l.salt = binary.BigEndian.Uint64(head[16:])
	if readable {
		l.whole = logHead
	}
	frame, last := make([]byte, frameHead+page), make([]byte, frameHead+page)
	for at := int64(logHead + len(frame)); ; at += int64(len(frame)) {
		if _, err := io.ReadFull(in, frame); err != nil {
			return l, nil
		}
		salt := binary.BigEndian.Uint64(frame[8:])
		if readable {
			s.take(frame)
			readable = salt == l.salt && s.are(frame[16:])
			if readable && ends(frame) {
				l.whole = at
			}
		} else {
			if l.whole == 0 && at == int64(logHead+len(frame)) {
				l.salt = salt // that of the head may be what was hit
			}
			// A bit of the salt may be what was hit; of an earlier round it is another altogether.
			if bits.OnesCount64(salt^l.salt) <= 2 && ends(last) && (goesOn(last[16:], frame) || goesOn(s.written(), frame)) {
				l.broken = true
			}
		}
		frame, last = last, frame
	}
}

// ends reports whether a frame is the last one of a commit.
func ends(frame []byte) bool { return binary.BigEndian.Uint32(frame[4:]) != 0 }

// goesOn reports whether the sums of a frame are those written down before it and its
// own. The head, which names the order of the bytes, may be what was hit.
func goesOn(before, frame []byte) bool {
	for _, order := range []binary.ByteOrder{binary.LittleEndian, binary.BigEndian} {
		s := sums{order, binary.BigEndian.Uint32(before), binary.BigEndian.Uint32(before[4:])}
		if s.take(frame); s.are(frame[16:]) {
			return true
		}
	}
	return false
}

// sums are the two running sums of a log.
type sums struct {
	order binary.ByteOrder
	a, b  uint32
}

func (s *sums) add(words []byte) {
	for i := 0; i+8 <= len(words); i += 8 {
		s.a += s.order.Uint32(words[i:]) + s.b
		s.b += s.order.Uint32(words[i+4:]) + s.a
	}
}

// take adds what of a frame is summed: its page, and that page's place.
func (s *sums) take(frame []byte) {
	s.add(frame[:8])
	s.add(frame[frameHead:])
}

// written is how the sums are written down.
func (s *sums) written() []byte {
	return binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(nil, s.a), s.b)
}

// are compares the sums with those written down.
func (s *sums) are(written []byte) bool {
	return s.a == binary.BigEndian.Uint32(written) && s.b == binary.BigEndian.Uint32(written[4:])
}
