package procedures

import "strings"

// Concordance holds texts by their words, each kept once, so that words are looked
// for in very many texts without reading them again: what is looked for is compared
// with each word once, and a text then is a list of numbers.
type Concordance struct {
	words  []string
	number map[string]int32 // of a word
	texts  []int32          // the words of one text after the other
	spans  []span           // where each text stands in texts
}

type span struct{ from, to int }

// Add takes in one more text.
func (c *Concordance) Add(text string) { c.spans = append(c.spans, c.read(text)) }

// Set puts a text in the place of the one of that number. What stood there is not used
// again.
func (c *Concordance) Set(i int, text string) { c.spans[i] = c.read(text) }

func (c *Concordance) read(text string) span {
	from := len(c.texts)
	if c.number == nil {
		c.number = map[string]int32{}
	}
	for word := range strings.SplitSeq(text, " ") { // as Read does
		if word == "" {
			continue
		}
		n, ok := c.number[word]
		if !ok {
			n = int32(len(c.words))
			word = strings.Clone(word) // not the whole text
			c.words, c.number[word] = append(c.words, word), n
		}
		c.texts = append(c.texts, n)
	}
	return span{from, len(c.texts)}
}

// Len is how many texts there are.
func (c *Concordance) Len() int { return len(c.spans) }

// Scores tells how well each text fits the words, by the rules of [Rank]: the greater
// the better, and -1 where a word has no like in it.
func (c *Concordance) Scores(words string) []int {
	q := NewQuery(words)
	likes := make([]Likeness, len(c.words)) // nil: like none that is asked
	for i, word := range c.words {
		l := q.Unlike()
		if q.Read(l, word); !l.None() {
			likes[i] = l
		}
	}
	scores := make([]int, len(c.spans))
	unlike, l := q.Unlike(), q.Unlike()
	for i, s := range c.spans {
		copy(l, unlike)
		for _, word := range c.texts[s.from:s.to] {
			if like := likes[word]; like != nil {
				l.Join(like)
			}
		}
		if len(q.words) == 0 {
			continue
		}
		score, ok := q.Score(l)
		if scores[i] = score; !ok {
			scores[i] = -1
		}
	}
	return scores
}
