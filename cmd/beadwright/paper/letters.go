package paper

import (
	"image/color"
	"strings"
	"unicode"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"beadwright/procedures"
)

// Black on white, for any printer: lines and letters in ink, the weld in a dark
// gray, what is only there to guide the eye in a light one.
var (
	ink   = color.Gray{0x00}
	dark  = color.Gray{0x48}
	light = color.Gray{0x90}
)

// lineSpace is the height of a line of text, of its letters.
const lineSpace = 1.28

// bold is the weight of bold letters on the scale of the fonts, where 0 is regular.
const bold = 3

// letters is a style of text of a size in points.
func letters(size vg.Length, strong bool) text.Style {
	s := text.Style{Color: ink, Font: plot.DefaultFont, Handler: plot.DefaultTextHandler, YAlign: draw.YTop}
	s.Font.Variant, s.Font.Size = "Sans", size
	if strong {
		s.Font.Weight = bold
	}
	return s
}

// fit folds text to lines no wider than width, within a word where the word alone
// is wider. There is at least one line.
func fit(style text.Style, words string, width vg.Length) []string {
	var lines []string
	line := ""
	for _, w := range procedures.Words(Printable(words)) {
		if line != "" && style.Width(line+" "+w) <= width {
			line += " " + w
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		line = ""
		for _, r := range w {
			if line != "" && style.Width(line+string(r)) > width {
				lines = append(lines, line)
				line = ""
			}
			line += string(r)
		}
	}
	return append(lines, line)
}

// Printable leaves out what no font draws and no XML may hold.
func Printable(s string) string {
	return strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) || r == unicode.ReplacementChar {
			return ' '
		}
		return r
	}, s)
}
