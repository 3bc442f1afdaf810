package web

import (
	"net/netip"
	"sync"
	"time"
)

// limit counts wrong links of each address, and of all together. Who has sent too
// many is not listened to for a while, right link or not. Design choices.
const (
	wrongOfOne  = 5
	wrongOfAll  = 50
	lockedFor   = 10 * time.Minute
	addressesAt = 1000 // remembered at once
)

type limit struct {
	mu   sync.Mutex
	now  func() time.Time
	all  tries
	from map[netip.Prefix]*tries
}

// tries are wrong links since the first of them.
type tries struct {
	wrong int
	since time.Time
}

func newLimit(now func() time.Time) *limit {
	return &limit{now: now, from: map[netip.Prefix]*tries{}}
}

// locked reports whether an address is not listened to now.
func (l *limit) locked(from netip.Addr) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	now := l.now()
	t := l.from[network(from)]
	return l.all.over(now, wrongOfAll) || t != nil && t.over(now, wrongOfOne)
}

// missed counts a wrong link.
func (l *limit) missed(from netip.Addr) {
	l.mu.Lock()
	defer l.mu.Unlock()
	now := l.now()
	at := network(from)
	t := l.from[at]
	if t == nil {
		if len(l.from) >= addressesAt {
			for k, old := range l.from {
				if now.Sub(old.since) > lockedFor {
					delete(l.from, k)
				}
			}
		}
		if t = new(tries); len(l.from) < addressesAt { // beyond, they count together
			l.from[at] = t
		}
	}
	t.count(now)
	l.all.count(now)
}

func (t *tries) count(now time.Time) {
	if now.Sub(t.since) > lockedFor {
		*t = tries{since: now}
	}
	t.wrong++
}

func (t *tries) over(now time.Time, most int) bool {
	return t.wrong >= most && now.Sub(t.since) <= lockedFor
}

// network is what one device can choose its address from: all of it counts as one.
func network(a netip.Addr) netip.Prefix {
	a = a.Unmap().WithZone("")
	bits := 32
	if a.Is6() {
		bits = 64
	}
	p, err := a.Prefix(bits)
	if err != nil {
		return netip.Prefix{}
	}
	return p
}
