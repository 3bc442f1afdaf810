package main

import (
	"fmt"
	"hash/fnv"
	"slices"
	"strings"
)

// nonsense is no value of anything.
var nonsense = []string{
	"abc", "-1", "-1/8", "1e9", "1e-9", "99999999", "NaN", "nan", "Inf", "-Inf", "+Inf", "infinity", "1/0", "0/0", "1/8/2", "1..2..3", "0x10", "1_000",
	"3mm in", "3mm4", "1/8 kg", "12 parsecs", "3mmV", "🔥", "1🔥", "１／８", "٣", "²", "½½", "\x00", "1\x00", "\x1b[31m9", "\x7f\x08", "\xff\xfe", "\u202e8/1",
	"'; DROP TABLE weld; --", "1 OR 1=1", "%s%n", "%d", "../../nowhere", "$(reboot)", "`id`", "null", "undefined", "[1]", "{}", "--", "-", "=", "\\",
	"1,5,7", "one hundred and one", "\t", " ", "", strings.Repeat("9", 400), strings.Repeat("z", 5000), strings.Repeat("1/8 ", 200), "0.0.0", "1-1-1", "#", "*", "A\u0301\u0301\u0301",
}

// slot is a command line with a place for a value, and what is a good value
// there although it is nonsense elsewhere.
type slot struct {
	before []string
	flag   string
	good   []string
}

func (s slot) line(value string) []string {
	if s.flag == "" {
		return append(slices.Clone(s.before), "--", value)
	}
	return append(slices.Clone(s.before), "--"+s.flag+"="+value)
}

// slots is every place of a command line that takes a value which can be wrong.
func slots() []slot {
	var all []slot
	place := func(line string, flags ...string) {
		for _, f := range flags {
			all = append(all, slot{before: strings.Fields(line), flag: f})
		}
	}
	place("suggest mild tee flat", "thickness")
	place("suggest 1/8 mild tee flat", "other-thickness", "gap", "length", "wire", "machine", "units")
	place("suggest 1/8 mild tee", "position")
	place("suggest 1/8 mild flat", "joint")
	place("suggest 1/8 tee flat", "steel")
	place("suggest 1/8 mild tee flat", "coating")
	outcome := []string{"tap", "knob", "wire-speed", "polarity", "extension", "travel", "volts", "amps", "rating", "symptom", "test", "leg", "photo", "at"}
	place("log 4", append(outcome, "from", "machine", "gap", "wire")...)
	place("amend A1", append(outcome, "thickness", "joint", "position", "steel", "wire", "gap", "coating")...)
	place("find", "thickness", "within", "steel", "joint", "position", "wire", "rating", "symptom", "since", "limit")
	place("machine add barn", "output", "rated", "rated-volts", "duty", "max", "input", "input-amps", "breaker", "cord", "wire-range", "process", "knob")
	place("machine knob --tap high --length 42in --seconds 10", "mark")
	place("machine knob --mark 5 --tap high --seconds 10", "length")
	place("machine knob --mark 5 --tap high --length 42in", "seconds")
	place("machine knob --mark 5 --length 42in --seconds 10", "tap", "short-length", "short-seconds")
	place("machine knob --why slip", "strike")
	place("machine set", "taps", "output", "rated", "rated-volts", "duty", "max", "input", "input-amps", "breaker", "cord", "wire-range", "process", "knob")
	place("machine measure --tap high", "open", "load", "terminals", "gun-lead", "work-lead", "clamp", "line", "line-loaded", "amps", "stub", "burn-back")
	place("machine measure --amps 85A", "tap", "knob", "wire-speed", "spool")
	place("machine measure --why slip", "strike")
	place("machine circuit", "other", "breaker", "cord", "wall", "outlet", "amps")
	place("coupons 1/8 mild tee flat", "scrap", "beads", "machine", "wire")
	place("coupons 1/8 mild tee flat --next", "scrap", "beads")
	place("machine losses", "amps", "lead", "gun")
	place("machine rebuilt", "ac", "capacitors", "bleeder", "diode", "fan", "amps")
	place("wire add 0.035 E71T-11 --name other", "weight")
	for _, line := range []string{"show", "strike", "amend", "machine use", "wire add", "wire use", "suggest tee mild flat"} {
		all = append(all, slot{before: strings.Fields(line)})
	}
	good := map[string][]string{
		"limit":  {"99999999"},
		"weight": {"1/8 kg"},
		"":       {"3mm in"}, // among words, "in" is filler
	}
	for i := range all {
		all[i].good = good[all[i].flag]
	}
	return all
}

// fixedBad are bad command lines that no slot makes.
var fixedBad = [][]string{
	{"suggest", "0", "tee"}, {"suggest", "0.0", "tee"}, {"suggest", "0mm", "tee"}, {"suggest", "3", "tee"}, {"suggest", "301mm", "tee"}, {"suggest", "0.01mm", "tee"},
	{"suggest", "31ga plain", "tee"}, {"suggest", "2ga plain", "tee"}, {"suggest", "16ga", "tee"}, {"suggest", "1/8", "1/4", "3/8", "tee"}, {"suggest", "1/8", "tee", "lap"},
	{"suggest", "1/8", "flat", "overhead", "tee"}, {"suggest", "1/8", "tee", "vertical"}, {"suggest", "1/8", "mild", "1018", "4150", "a514", "tee", "banana"},
	{"suggest", "1/8", "tee", "0.030", "0.035"}, {"suggest", "2x2", "tube", "tee"}, {"suggest", "tee"}, {"suggest", "1/8"}, {"suggest"}, {"suggest", "1/8 tee mild flat flat purple"},
	{"log"}, {"log", "0"}, {"log", "6"}, {"log", "4", "5"}, {"log", "9"}, {"log", "4", "1/8", "tee", "banana"}, {"log", "4", "--knob", "0.5"}, {"log", "4", "--knob", "11"}, {"log", "4", "--tap", "medium"},
	{"log", "4", "--wire-speed", "0"}, {"log", "4", "--wire-speed", "2000ipm"}, {"log", "4", "--travel", "4in in 0s"}, {"log", "4", "--travel", "0"}, {"log", "4", "--volts", "0"},
	{"log", "4", "--volts", "4"}, {"log", "4", "--volts", "400"}, {"log", "4", "--amps", "0"}, {"log", "4", "--amps", "2000"}, {"log", "4", "--extension", "0"}, {"log", "4", "--extension", "5in"},
	{"log", "4", "--rating", "0"}, {"log", "4", "--rating", "4.5"}, {"log", "4", "--at", "2099-01-01"}, {"log", "4", "--at", "1066-10-14"}, {"log", "4", "--at", "2026-02-30"},
	{"log", "4", "--test", "bend"}, {"log", "4", "--test", "bend="}, {"log", "4", "--test", "stare=good"}, {"log", "4", "--photo", "."}, {"log", "4", "--leg", "0"}, {"log", "4", "--leg", "1ft"},
	{"find", "--rating", "0"}, {"find", "--rating", "4..2"}, {"find", "--rating", "++4"}, {"find", "--within", "0"}, {"find", "--within", "101%"}, {"find", "--limit", "-5"}, {"find", "--since", "2099-01-01"},
	{"find", "--thickness", "0"}, {"find", "--since", "-3d"}, {"find", strings.Repeat("word ", 200)},
	{"machine", "add"}, {"machine", "add", "shed"}, {"machine", "add", strings.Repeat("n", 61)}, {"machine", "add", "two\nlines"}, {"machine", "add", "bell\x07"}, {"machine", "add", "  "},
	{"machine", "add", "b", "--taps", "low=abc"}, {"machine", "add", "b", "--taps", "low=-1"}, {"machine", "add", "b", "--taps", "low=NaN"}, {"machine", "add", "b", "--taps", "low,low"},
	{"machine", "add", "b", "--taps", "=5V"}, {"machine", "add", "b", "--taps", ","}, {"machine", "add", "b", "--taps", "low=5000V"}, {"machine", "add", "b", "--taps", "low=17V,high=14V"},
	{"machine", "add", "b", "--knob", "10..1"}, {"machine", "add", "b", "--knob", "1..1"}, {"machine", "add", "b", "--knob", "-5..5"}, {"machine", "add", "b", "--knob", "NaN..10"}, {"machine", "add", "b", "--knob", "0..1e9"},
	{"machine", "add", "b", "--duty", "0"}, {"machine", "add", "b", "--duty", "101"}, {"machine", "add", "b", "--rated", "0"}, {"machine", "add", "b", "--rated", "120", "--max", "90"}, {"machine", "add", "b", "--input", "12V"},
	{"machine", "add", "b", "--cord", "13awg 25ft"}, {"machine", "add", "b", "--cord", "12awg"}, {"machine", "add", "b", "--cord", "12awg -5ft"}, {"machine", "add", "b", "--wire-range", "340..40ipm"},
	{"machine", "add", "b", "--wire-range", "0..340ipm"}, {"machine", "use"}, {"machine", "show", "barn"}, {"machine", "frob"}, {"machine", "list", "extra"},
	{"machine", "strike"}, {"machine", "strike", "barn"}, {"machine", "strike", "shed", "--back"}, {"machine", "strike", "shed", "--back", "--why", "x"}, {"machine", "strike", "shed", "--why", "a\x1bb"}, {"machine", "rename", "shed"}, {"machine", "rename", "shed", ""},
	{"machine", "rename", "shed", strings.Repeat("n", 61)}, {"machine", "rename", "barn", "b"}, {"wire", "strike", "nobody"}, {"wire", "rename", "a", "b", "c"},
	{"wire", "add"}, {"wire", "add", "0.035"}, {"wire", "add", "E71T-11"}, {"wire", "add", "0", "E71T-11"}, {"wire", "add", "2in", "E71T-11"}, {"wire", "add", "0.035", "E71T-11", "--name", "x", "--weight", "0lb"},
	{"wire", "add", "0.035", "E71T-11", "--name", "x", "--weight", "5"}, {"wire", "add", "0.035", "E71T-11", "--name", "x", "--weight", "900lb"}, {"wire", "add", "0.035", "E71T-11", "--name", strings.Repeat("n", 61)}, {"wire", "list", "extra"},
	{"show"}, {"show", "A1", "A2"}, {"show", "A2"}, {"show", "A0"}, {"show", "A100"}, {"show", "AA"}, {"strike"}, {"strike", "B7"}, {"amend"}, {"amend", "B7", "--rating", "3"}, {"amend", "A1", "--rating", "7"},
	{"suggst", "1/8"}, {"1/8", "mild", "tee"}, {"--nope"}, {"suggest", "--nope"}, {"suggest", "1/8", "tee", "--gap"}, {"--units"}, {"--units", "us"[:1], "find"}, {"find", "--limit"}, {"--notebook"}, {"log", "-4"}, {"\x00"}, {"🔥"}, {""},
}

// badLines is every bad command line of the tables above.
func badLines() (lines [][]string) {
	lines = append(lines, fixedBad...)
	for _, s := range slots() {
		for _, v := range nonsense {
			if !slices.Contains(s.good, v) {
				lines = append(lines, s.line(v))
			}
		}
	}
	return lines
}

// sample is the fixed lines and one in so many of the others, always the same
// ones; all of them with -long.
func sample(lines [][]string, oneIn uint32) (some [][]string) {
	if racing {
		oneIn *= 20
	}
	for i, line := range lines {
		h := fnv.New32a()
		fmt.Fprintf(h, "%q", line)
		if i < len(fixedBad) || *long || h.Sum32()%oneIn == 0 {
			some = append(some, line)
		}
	}
	return some
}
