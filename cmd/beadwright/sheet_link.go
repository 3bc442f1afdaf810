package main

import (
	"net"
	"net/url"
	"strings"

	"github.com/spf13/pflag"

	"beadwright/procedures"
)

// site is where phones find the page, such as http://192.168.1.5:8173; "": nowhere.
type site string

// addSite adds the flag that says where the page is.
func addSite(f *pflag.FlagSet, to *string) {
	f.StringVar(to, "link", "", "print a square that opens it on a phone: the `ADDRESS` that serve --lan shows")
}

// parseSite reads the address of a page. Errors: InvalidError where it is none that a
// phone could come to.
func parseSite(said string) (site, error) {
	const such = "the beginning of the link that serve --lan shows, such as http://192.168.1.5:8173"
	text := strings.TrimSpace(said)
	if said == "" {
		return "", nil
	}
	if !strings.Contains(text, "://") {
		text = "http://" + text
	}
	u, err := url.Parse(text)
	if err != nil || u.Scheme != "http" && u.Scheme != "https" || u.Hostname() == "" || len(u.Host) > 100 || strings.Trim(u.Path, "/") != "" || u.User != nil || u.RawQuery != "" || u.Fragment != "" {
		return "", procedures.Invalid("link", said, "not the address of the page", such)
	}
	if ip := net.ParseIP(u.Hostname()); u.Hostname() == "localhost" || ip != nil && (ip.IsLoopback() || ip.IsUnspecified()) {
		return "", procedures.Invalid("link", said, "that is this computer as it calls itself: no phone finds it there", such)
	}
	return site(u.Scheme + "://" + u.Host), nil
}

// link is that of a record: weld, machine or procedure, and its id, which stays with it
// whatever it is called later.
func (s site) link(kind, id string) string {
	if s == "" || id == "" {
		return ""
	}
	return string(s) + "/" + kind + "/" + id
}
