package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"beadwright/procedures"
)

// markSaid is the mark of a coupon as it is painted and typed.
var markSaid = procedures.Pattern(`^[A-Za-z]{1,2}[0-9]{1,3}$`)

// rightLine is the line that was meant where the words of a command about one weld
// stand in another order, or a flag's words without its dashes; "" where the words
// leave that open.
func rightLine(cmd *cobra.Command, args []string) string {
	name := cmd.CommandPath()
	mark, words := "", []string{}
	for _, w := range args {
		if mark == "" && markSaid().MatchString(w) {
			mark = w
			continue
		}
		words = append(words, w)
	}
	text := strings.Join(words, " ")
	switch {
	case mark == "" || len(words) == 0:
		return ""
	case name == "beadwright strike":
		return fmt.Sprintf("%s %s --why %s", name, mark, quote(text))
	case name == "beadwright test" && len(words) == 1:
		for _, kind := range procedures.TestKinds() {
			said := strings.ToLower(text)
			if args[0] != mark && said == kind || said != kind && procedures.Distance(said, kind) <= 1+len(kind)/5 { // test A1 brake
				return fmt.Sprintf("%s %s %s", name, mark, kind)
			}
		}
	case name == "beadwright followup" && args[0] != mark:
		if _, ok := heldWords[strings.ToLower(words[0])]; ok {
			line := fmt.Sprintf("%s %s %s", name, mark, words[0])
			if len(words) > 1 {
				line += " " + quote(strings.Join(words[1:], " "))
			}
			return line
		}
	case name == "beadwright amend":
		flag, value := "", words
		for n := min(2, len(words)-1); n > 0 && flag == ""; n-- {
			if f := strings.ToLower(strings.Join(words[:n], "-")); cmd.Flags().Lookup(f) != nil {
				flag, value = f, words[n:]
			}
		}
		if flag == "" || len(value) == 0 {
			return ""
		}
		if len(value) > 1 && (value[0] == "to" || value[0] == "is" || value[0] == "=") {
			value = value[1:]
		}
		return fmt.Sprintf("%s %s --%s %s", name, mark, flag, quote(strings.Join(value, " ")))
	}
	return ""
}

// wordOrder refuses words that stand in another order than a command reads them in,
// or that miss their last, and says the right line with them in it.
func wordOrder(cmd *cobra.Command, args []string) error {
	if cmd.CommandPath() == "beadwright test" && len(args) == 1 && markSaid().MatchString(args[0]) {
		kinds := procedures.TestKinds()
		return &usageError{err: fmt.Errorf("test: which test of %s?", args[0]), hints: []string{fmt.Sprintf("beadwright test %s %s", args[0], strings.Join(kinds, ", or ")), "a break tells the most of a fillet: beadwright test " + args[0] + " break"}}
	}
	line := rightLine(cmd, args)
	if line == "" {
		return nil
	}
	return &usageError{err: fmt.Errorf("%s: not in these words (read %q)", cmd.Name(), oneLine(strings.Join(args, " "))), hints: []string{"did you mean: " + line}}
}
