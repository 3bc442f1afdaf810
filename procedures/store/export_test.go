package store

import "context"

// LimitPages lets the file grow to so many pages and no further, as a full disk
// would. It reaches the one connection that is left after it.
func (n *Notebook) LimitPages(ctx context.Context, pages int) (now int, err error) {
	n.db.SetMaxOpenConns(1)
	n.db.SetMaxIdleConns(1)
	if err := n.db.QueryRowContext(ctx, "PRAGMA page_count").Scan(&now); err != nil {
		return 0, err
	}
	if pages == 0 {
		pages = now
	}
	err = n.db.QueryRowContext(ctx, "PRAGMA max_page_count = "+itoa(pages)).Scan(&now)
	return now, err
}

var FormatMark, ParseMark = formatMark, parseMark

func itoa(n int) string {
	if n < 10 {
		return string(rune('0' + n))
	}
	return itoa(n/10) + string(rune('0'+n%10))
}

// Pragma is what a pragma says on each of the connections, all held at once.
func (n *Notebook) Pragma(ctx context.Context, name string) (said []string, err error) {
	for range n.db.Stats().MaxOpenConnections {
		c, err := n.db.Conn(ctx)
		if err != nil {
			return nil, err
		}
		defer c.Close()
		var s string
		if err := c.QueryRowContext(ctx, "PRAGMA "+name).Scan(&s); err != nil {
			return nil, err
		}
		said = append(said, s)
	}
	return said, nil
}
