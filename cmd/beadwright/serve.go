package main

import (
	"bufio"
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/netip"
	"os/signal"
	"runtime/debug"
	"strings"
	"sync"
	"syscall"
	"time"

	"github.com/skip2/go-qrcode"
	"github.com/spf13/cobra"

	"beadwright/cmd/beadwright/web"
	"beadwright/procedures"
	"beadwright/procedures/store"
)

type serveOptions struct {
	listen, cert, key, revoke string
	hosts                     []string
	lan, yes, devices         bool
}

const servePort = "8173"

func newServe(a *app) *cobra.Command {
	var o serveOptions
	cmd := &cobra.Command{
		Use:   "serve",
		Short: "The page for the phone in the garage, and its JSON API",
		Long: `Serve the notebook as a page to look at and to log with, until Ctrl-C.

Without --lan only this computer can open it. With --lan other devices on your
network can, once each is paired by a link that works once; what is paired can
read and write the notebook, and travels unencrypted unless --cert and --key name
a certificate. Never serve it to the internet.`,
		Example: `  beadwright serve
  beadwright serve --lan
  beadwright serve --devices
  beadwright serve --revoke phone`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			switch {
			case o.devices:
				return a.listPhones(cmd.Context())
			case o.revoke != "":
				return a.revokePhone(cmd.Context(), o.revoke)
			}
			ctx, stop := untilInterrupted(cmd)
			defer stop()
			return a.serve(ctx, o, cmd.InOrStdin())
		},
	}
	f := cmd.Flags()
	f.StringVar(&o.listen, "listen", "", "address and port (default 127.0.0.1:"+servePort+", with --lan this computer's address on the network)")
	f.BoolVar(&o.lan, "lan", false, "let paired devices on your network open it")
	f.BoolVar(&o.yes, "yes", false, "with --lan, do not ask first")
	f.StringArrayVar(&o.hosts, "host", nil, "another name that this computer goes by; may be repeated")
	f.StringVar(&o.cert, "cert", "", "a certificate `FILE` in PEM, for https; needs --key")
	f.StringVar(&o.key, "key", "", "the certificate's key `FILE` in PEM")
	f.BoolVar(&o.devices, "devices", false, "list the paired devices, and serve nothing")
	f.StringVar(&o.revoke, "revoke", "", "take the device of that `NAME` off the list, or all, and serve nothing")
	return cmd
}

func (a *app) serve(ctx context.Context, o serveOptions, in io.Reader) error {
	at, err := o.addresses()
	if err != nil {
		return err
	}
	if a.unitsFlag != "" {
		if _, err := procedures.ParseUnits(a.unitsFlag); err != nil {
			return err
		}
	}
	pair, err := o.certificate()
	if err != nil {
		return err
	}
	keys := bufio.NewReader(in)
	if o.lan && !o.yes {
		if err := a.consent(keys, at[0]); err != nil {
			return err
		}
	}
	nb, err := a.open(ctx, store.Options{Now: a.now, Log: logPages})
	if err != nil {
		return err
	}
	debug.SetGCPercent(100) // it lives for long; see main
	ctx, stop := signal.NotifyContext(ctx, syscall.SIGTERM)
	defer stop()

	report := &console{to: a.err}
	b := &workbench{notebook: nb, path: a.notebookFlag, units: a.unitsFlag, now: a.now, report: report}
	opts := web.Options{Now: a.now, Hosts: o.hosts, LAN: o.lan, Phones: newPhones(nb.Path()), TLS: pair != nil, Report: report}
	var listeners []net.Listener
	for _, address := range at {
		l, err := net.Listen("tcp", address)
		if err != nil {
			for _, open := range listeners {
				open.Close()
			}
			return procedures.Invalid("listen", address, "cannot listen there: "+oneLine(err.Error()), "another program may hold the port, perhaps this one in another window", "name another: beadwright serve --listen 127.0.0.1:8174")
		}
		if host, _, err := net.SplitHostPort(l.Addr().String()); err == nil {
			opts.Hosts = append(opts.Hosts, host)
		}
		listeners = append(listeners, l)
	}
	page := web.New(b, opts)
	scheme := "http://"
	if pair != nil {
		scheme = "https://"
		for i, l := range listeners {
			listeners[i] = tls.NewListener(l, &tls.Config{Certificates: []tls.Certificate{*pair}, MinVersion: tls.VersionTLS12, NextProtos: []string{"http/1.1"}})
		}
	}
	b.warm(ctx)
	a.announce(page, scheme, listeners, o.lan)
	if o.lan && !a.json {
		go func() { // ends with the input, or with the program
			for {
				if _, err := keys.ReadString('\n'); err != nil || ctx.Err() != nil {
					return
				}
				a.invite(page, scheme+listeners[0].Addr().String())
			}
		}()
	}
	b.think() // the first question need not wait for the notebook to be read
	return serveUntil(ctx, page.HTTP(), listeners, b)
}

// serveUntil serves until the context ends, then lets what was begun be finished.
func serveUntil(ctx context.Context, server *http.Server, listeners []net.Listener, b *workbench) error {
	failed := make(chan error, len(listeners))
	var serving sync.WaitGroup
	for _, l := range listeners {
		serving.Go(func() { failed <- server.Serve(l) })
	}
	tending, leave := context.WithCancel(ctx)
	serving.Go(func() { b.tend(tending) })
	var err error
	select {
	case <-ctx.Done():
	case err = <-failed:
	}
	leave()
	ending, cancel := context.WithTimeout(context.Background(), 10*time.Second)
	defer cancel()
	if server.Shutdown(ending) != nil {
		server.Close() // somebody holds on
	}
	serving.Wait()
	b.settle()
	if errors.Is(err, http.ErrServerClosed) {
		err = nil
	}
	return err
}

// addresses are where to listen, the one to tell of first.
func (o serveOptions) addresses() ([]string, error) {
	listen := o.listen
	hints := []string{"accepted: an address and a port, such as 127.0.0.1:" + servePort}
	if listen == "" {
		if !o.lan {
			return []string{"127.0.0.1:" + servePort}, nil
		}
		here, err := lanAddress()
		if err != nil {
			return nil, err
		}
		listen = net.JoinHostPort(here, servePort)
	}
	host, port, err := net.SplitHostPort(listen)
	if host == "localhost" {
		host = "127.0.0.1"
	}
	ip, bad := netip.ParseAddr(host)
	if n, err2 := net.LookupPort("tcp", port); err != nil || bad != nil || err2 != nil || n < 0 {
		return nil, procedures.Invalid("listen", o.listen, "not an address to listen at", hints...)
	}
	if ip.IsUnspecified() {
		return nil, procedures.Invalid("listen", o.listen, "that is every address at once", "name one: --lan finds this computer's on your network")
	}
	if !ip.IsLoopback() && !o.lan {
		return nil, procedures.Invalid("listen", o.listen, "other devices could open it there", "if that is what you want: beadwright serve --lan --listen "+listen)
	}
	if !ip.IsPrivate() && !ip.IsLoopback() && !ip.IsLinkLocalUnicast() {
		return nil, procedures.Invalid("listen", o.listen, "not an address of a home network", "the notebook is never served to the internet")
	}
	at := []string{net.JoinHostPort(host, port)}
	if o.lan && host != "127.0.0.1" && port != "0" {
		at = append(at, net.JoinHostPort("127.0.0.1", port)) // for this computer, unpaired
	}
	return at, nil
}

// lanAddress is this computer's address on the home network.
func lanAddress() (string, error) {
	all, err := net.InterfaceAddrs()
	if err != nil {
		return "", err
	}
	var found []string
	for _, a := range all {
		if p, err := netip.ParsePrefix(a.String()); err == nil && p.Addr().Is4() && p.Addr().IsPrivate() {
			found = append(found, p.Addr().String())
		}
	}
	switch len(found) {
	case 0:
		return "", procedures.Invalid("lan", "", "this computer has no address on a home network", "join the network first, or name the address: --listen 192.168.1.5:"+servePort)
	case 1:
		return found[0], nil
	}
	return "", procedures.Invalid("lan", "", "this computer has several addresses: "+strings.Join(found, ", "), "name the one on your home network: --listen "+found[0]+":"+servePort)
}

func (o serveOptions) certificate() (*tls.Certificate, error) {
	if o.cert == "" && o.key == "" {
		return nil, nil
	}
	if o.cert == "" || o.key == "" {
		return nil, procedures.Invalid("cert", o.cert+o.key, "a certificate and its key go together", "--cert cert.pem --key key.pem")
	}
	c, err := tls.LoadX509KeyPair(o.cert, o.key)
	if err != nil {
		return nil, procedures.Invalid("cert", o.cert, "not a certificate with its key: "+oneLine(err.Error()), "both in PEM")
	}
	return &c, nil
}

// consent asks before anything can be opened from the network.
func (a *app) consent(in *bufio.Reader, at string) error {
	ask := a.printf
	if a.json {
		ask = func(format string, args ...any) { fmt.Fprintf(a.err, format, args...) }
	}
	ask("Devices on your network can then open the notebook at %s, once you have paired each.\nA paired device can read and write everything in it. Do this only on a network of people you trust.\nServe it to the network? yes or no: ", at)
	said, _ := in.ReadString('\n')
	switch strings.ToLower(strings.TrimSpace(said)) {
	case "y", "yes":
		return nil
	}
	return procedures.Invalid("lan", strings.TrimSpace(said), "not served to the network", "answer yes, or say --yes; for this computer alone: beadwright serve")
}

// announce says where the page is.
func (a *app) announce(page *web.Server, scheme string, at []net.Listener, lan bool) {
	address := scheme + at[0].Addr().String()
	if a.json {
		doc := map[string]any{"address": address + "/", "pair": nil, "pair_until": nil}
		if lan {
			link, until := page.Invite()
			doc["pair"], doc["pair_until"] = address+link, until.UTC()
		}
		_ = a.printJSON(doc)
		return
	}
	if !lan {
		a.printf("open %s/ on this computer\n", address)
		a.line("phone", "for the phone in the garage: beadwright serve --lan")
		a.line("stop", "Ctrl-C")
		return
	}
	a.printf("open it on the phone: point its camera at the square, or type the link\n")
	a.invite(page, address)
	if len(at) > 1 {
		a.line("here", "on this computer: "+scheme+at[1].Addr().String()+"/")
	}
	a.line("another", "press Enter for a link for another device")
	a.line("off", "take one off the list: beadwright serve --devices, --revoke NAME")
	a.line("stop", "Ctrl-C")
}

// invite shows a link for one device, to type and to point a camera at.
func (a *app) invite(page *web.Server, address string) {
	link, until := page.Invite()
	if q, err := qrcode.New(address+link, qrcode.Low); err == nil {
		a.printf("\n%s\n", q.ToSmallString(false))
	}
	a.line("link", address+link)
	a.line("until", until.Local().Format("15:04")+", for one device")
}

func (a *app) phoneList(ctx context.Context) (*phones, error) {
	nb, err := a.mustExist(ctx, "serve --lan")
	if err != nil {
		return nil, err
	}
	return newPhones(nb.Path()), nil
}

func (a *app) listPhones(ctx context.Context) error {
	p, err := a.phoneList(ctx)
	if err != nil {
		return err
	}
	all, err := p.Phones()
	if err != nil {
		return err
	}
	if a.json {
		list := []map[string]any{}
		for _, d := range all {
			list = append(list, map[string]any{"name": d.Name, "since": d.Since})
		}
		return a.printJSON(map[string]any{"devices": list})
	}
	if len(all) == 0 {
		a.printf("no device is paired\n")
	}
	for _, d := range all {
		a.line(d.Name, "since "+d.Since.Local().Format("2006-01-02 15:04"))
	}
	return nil
}

func (a *app) revokePhone(ctx context.Context, name string) error {
	p, err := a.phoneList(ctx)
	if err != nil {
		return err
	}
	n, err := p.Remove(name)
	if err != nil {
		return err
	}
	if n == 0 && !strings.EqualFold(name, "all") {
		return procedures.Invalid("revoke", name, "no device of that name is paired", "see: beadwright serve --devices")
	}
	if a.json {
		return a.printJSON(map[string]any{"revoked": n})
	}
	a.printf("taken off the list: %d\n", n)
	return nil
}

// console hands whole lines to a writer that several write to.
type console struct {
	mu sync.Mutex
	to io.Writer
}

func (l *console) Write(b []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.to.Write(b)
}
