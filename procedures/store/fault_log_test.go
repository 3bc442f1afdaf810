package store_test

import (
	"encoding/binary"
	"os"
)

// logEnd says how far the valid part of a write-ahead log reaches, up to the last
// commit in it, and which round of the log it is: the salts change whenever SQLite
// begins it anew (file format, "The Write-Ahead Log").
type logEnd struct {
	salt uint64
	end  int64
}

const (
	logHeader   = 32
	frameHeader = 24
	pageSize    = 4096
	frame       = frameHeader + pageSize
)

// readLog reads the log beside a notebook; zero where there is none.
func readLog(path string) logEnd {
	b, err := os.ReadFile(path + "-wal")
	if err != nil {
		return logEnd{}
	}
	_, end := frames(b)
	return end
}

// frames lists the pages that the committed part of a log holds, and its end. Each entry
// carries the sums of all before it and its own; one with others ends what can be read.
func frames(b []byte) (pages []uint32, l logEnd) {
	if len(b) < logHeader {
		return nil, l
	}
	order := binary.ByteOrder(binary.LittleEndian)
	if b[3]&1 != 0 {
		order = binary.BigEndian
	}
	var s0, s1 uint32
	summed := func(b, written []byte) bool {
		for ; len(b) > 0; b = b[8:] {
			s0 += order.Uint32(b) + s1
			s1 += order.Uint32(b[4:]) + s0
		}
		return binary.BigEndian.Uint32(written) == s0 && binary.BigEndian.Uint32(written[4:]) == s1
	}
	if !summed(b[:24], b[24:]) {
		return nil, l
	}
	l.salt = binary.BigEndian.Uint64(b[16:])
	var open []uint32
	for at := logHeader; at+frame <= len(b) && binary.BigEndian.Uint64(b[at+8:]) == l.salt; at += frame {
		entry := append(append([]byte{}, b[at:at+8]...), b[at+frameHeader:at+frame]...)
		if !summed(entry, b[at+16:]) {
			break
		}
		open = append(open, binary.BigEndian.Uint32(b[at:]))
		if binary.BigEndian.Uint32(b[at+4:]) != 0 { // a commit
			pages, open = append(pages, open...), nil
			l.end = int64(at + frame)
		}
	}
	return pages, l
}
