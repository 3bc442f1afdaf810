package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"beadwright/procedures"
	"beadwright/recommend/source"
)

func newDutyWatch(a *app, o *clockOptions) *cobra.Command {
	return &cobra.Command{
		Use: "watch", Short: "The clock before your eyes: Enter starts and stops the arc, q ends", Args: cobra.NoArgs,
		Long: `Shows the clock in one line, rewritten each second. Enter (or the space bar, or a
pedal that types one of them) starts and stops the arc; q or Ctrl-C ends. Each
press is written down at once: close the window, and the clock goes on.`,
		Example: "  beadwright duty watch\n  beadwright duty watch --amps 90",
		RunE: func(cmd *cobra.Command, _ []string) error {
			ctx, stop := untilInterrupted(cmd)
			defer stop()
			beat := time.NewTicker(time.Second)
			defer beat.Stop()
			w := watch{app: a, options: *o, in: cmd.InOrStdin(), beat: beat.C, live: isTerminal(a.out)}
			if f, ok := w.in.(*os.File); ok && isTerminal(f) {
				w.bounce = 300 * time.Millisecond
				if restore, err := singleKeys(f); err == nil {
					w.keys = true
					defer restore()
				}
			}
			return w.run(ctx)
		},
	}
}

// isTerminal reports whether a stream is a terminal or another device of letters.
func isTerminal(stream any) bool {
	f, ok := stream.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}

// watch is the clock before one's eyes.
type watch struct {
	app     *app
	options clockOptions
	in      io.Reader
	beat    <-chan time.Time // one a second
	live    bool             // the output is a terminal: one line, rewritten
	keys    bool             // the input gives single keys, not lines
	bounce  time.Duration    // a press so soon after another is none: a key held down, a pedal that chatters
	full    bool             // the 10 minutes were full when the line was last shown
}

// press is a key or a line of input, and when it was read.
type press struct {
	quit    bool
	unknown bool // neither: nothing is done for it
	at      time.Time
}

// run shows the clock until it is told to end, or the input ends.
func (w *watch) run(ctx context.Context) error {
	if _, err := w.app.stand(ctx, w.options); err != nil {
		return err
	}
	w.say(w.help())
	if err := w.show(ctx, w.app.now(), true); err != nil {
		return err
	}
	presses := make(chan press)
	go w.read(ctx, presses)
	for {
		select {
		case <-ctx.Done():
			return w.end()
		case now := <-w.beat:
			if err := w.show(ctx, now, w.live); err != nil && ctx.Err() == nil {
				return err
			}
		case p, more := <-presses:
			if !more || p.quit {
				return w.end()
			}
			if p.unknown {
				w.say("? " + w.help())
				continue
			}
			if err := w.toggle(ctx, p.at); err != nil {
				return err
			}
			if err := w.show(ctx, p.at, true); err != nil {
				return err
			}
		}
	}
}

// help says what the keys do.
func (w *watch) help() string {
	if w.keys {
		return "Enter or space: arc on, arc off. q: end."
	}
	return "Enter: arc on, arc off. q and Enter: end."
}

// read sends what is pressed, and closes the channel where the input ends.
func (w *watch) read(ctx context.Context, presses chan<- press) {
	defer close(presses)
	r := bufio.NewReader(w.in)
	var last time.Time
	for {
		p, counts, err := w.next(r)
		if err != nil {
			return
		}
		chatter := p.at.Sub(last) < w.bounce
		if last = p.at; !counts || chatter && !p.quit {
			continue
		}
		select {
		case presses <- p:
		case <-ctx.Done():
			return
		}
	}
}

// next reads one key or one line. counts is false for keys that mean nothing.
func (w *watch) next(r *bufio.Reader) (p press, counts bool, err error) {
	if w.keys {
		key, err := r.ReadByte()
		end := key == 'q' || key == 'Q' || key == 4 // Ctrl-D
		start := key == '\n' || key == '\r' || key == ' '
		return press{quit: end, unknown: !end && !start, at: w.app.now()}, err == nil, err
	}
	line, err := r.ReadString('\n')
	if line != "" {
		err = nil // a last line without its end counts
	}
	word := strings.ToLower(strings.TrimSpace(line))
	quit := word == "q" || word == "quit"
	return press{quit: quit, unknown: !quit && word != "", at: w.app.now()}, true, err
}

// toggle starts the arc, or stops the one that burns. What the notebook refuses,
// such as stopping an arc that was forgotten, is said and changes nothing.
func (w *watch) toggle(ctx context.Context, at time.Time) error {
	s, err := w.app.standAt(ctx, w.options, at)
	if err != nil {
		return err
	}
	if s.burning.IsZero() {
		_, err = w.app.nb.StartArc(ctx, s.machine.Name, at)
	} else {
		_, err = w.app.nb.StopArc(ctx, s.machine.Name, at)
	}
	var refused *procedures.InvalidError
	if errors.As(err, &refused) {
		w.say(strings.Join(append([]string{refused.Error()}, w.app.ways(refused.Hints)...), "; "))
		return nil
	}
	return err
}

// show writes the line anew: on a terminal over the old one, elsewhere below it,
// and there only where shown says that something happened or the 10 minutes
// have just become full.
func (w *watch) show(ctx context.Context, now time.Time, shown bool) error {
	s, err := w.app.standAt(ctx, w.options, now)
	if err != nil {
		return err
	}
	full := s.do() == doStop || s.do() == doNot && !s.burning.IsZero()
	bell := full && !w.full
	w.full = full
	switch {
	case w.app.json:
	case w.live:
		alarm := ""
		if bell {
			alarm = "\a"
		}
		w.app.printf("\r\x1b[K\x1b[1m%s\x1b[0m%s", watchLine(s), alarm)
	case shown || bell:
		w.app.printf("%s\n", watchLine(s))
	}
	return nil
}

// watchLine is the clock in one line, to be read from across the shop.
func watchLine(s tally) string {
	word, text := s.order()
	if s.do() == doNot {
		return "  " + word + "  " + text
	}
	figure, unit := s.budget.Left, "LEFT"
	switch s.do() {
	case doForgotten:
		figure, unit = s.burned(), "ON: FORGOTTEN?"
	case doRest, doWait:
		figure, unit = s.rest(), "TO REST"
	}
	const width = 20
	filled := int(float64(width)*float64(s.budget.Left/s.allow.Arc) + 0.5)
	bar := strings.Repeat("#", min(width, filled)) + strings.Repeat(".", width-min(width, filled))
	text = fmt.Sprintf("  %-7s  %4.0f s %-8s [%s]", word, float64(figure), unit, bar)
	switch s.do() {
	case doArc, doStop:
		text += fmt.Sprintf("  this bead %.0f s", float64(s.burned()))
	case doRest, doWait:
		text += "  until " + s.clock(s.after(s.rest()))
	case doGo:
		if paid := source.PaidAfter(s.spells); paid > 0 {
			text += "  all paid at " + s.clock(s.after(paid))
		}
	}
	return text
}

// say writes a line that stays.
func (w *watch) say(text string) {
	switch {
	case w.app.json:
	case w.live:
		w.app.printf("\r\x1b[K%s\n", text)
	default:
		w.app.printf("%s\n", text)
	}
}

// end shows where the clock stands as the watch is left. What it watched goes on.
func (w *watch) end() error {
	ctx := context.Background() // also where Ctrl-C ended the other one
	s, err := w.app.stand(ctx, w.options)
	if err != nil {
		return err
	}
	if w.app.json {
		return w.app.printJSON(s.document(w.app, false))
	}
	if w.live {
		w.app.printf("\n")
	}
	w.app.printTally(s)
	if !s.burning.IsZero() {
		w.app.line("clock", "the arc is still on, by the clock, which goes on without this window; when it is out: beadwright duty stop")
	}
	w.app.printCautions(s.cautions())
	w.app.storedCharge(s.machine)
	return nil
}
