package runlog

import (
	"fmt"
	"unicode/utf8"

	"voltwright/internal/finding"
)

// shownOfAKind is how many findings of one rule are given one by one; the rest
// are counted in a last one.
const shownOfAKind = 5

// tally collects what the reader has to say, bounded whatever the log holds.
type tally struct {
	src    *finding.Source
	quiet  bool // a probe says nothing
	list   []finding.Finding
	kinds  []*kindTally
	counts []*countTally
}

// kindTally counts the findings of one rule.
type kindTally struct {
	rule  string
	level finding.Level
	n     int
	more  finding.Span // of the first that is not shown
}

// countTally is a rule that is given once, with a count and its first place.
type countTally struct {
	rule   string
	of     string // what of, where a rule counts several things apart
	span   finding.Span
	n      int
	worst  float64
	finish func(n int, worst float64) finding.Finding
}

// place marks a stretch of a line and gives its span.
func (t *tally) place(line []byte, number int, offset int64, start, length int) finding.Span {
	start = min(start, len(line))
	column := 1 + utf8.RuneCount(line[:start])
	t.src.Mark(offset+int64(start), number, column)
	t.src.Mark(offset+int64(start+length), number, column+utf8.RuneCount(line[start:min(start+length, len(line))]))
	return t.src.At(offset+int64(start), length)
}

// add takes a finding, and only counts it once enough of its rule are shown.
func (t *tally) add(f finding.Finding) {
	if t.quiet {
		return
	}
	var k *kindTally
	for _, known := range t.kinds {
		if known.rule == f.Rule {
			k = known
		}
	}
	if k == nil {
		k = &kindTally{rule: f.Rule, level: f.Level}
		t.kinds = append(t.kinds, k)
	}
	k.n++
	if k.n <= shownOfAKind {
		t.list = append(t.list, f)
	} else if k.n == shownOfAKind+1 {
		k.more = f.Span
	}
}

// full says whether findings of the rule are only counted by now; it counts
// one more if so, which spares making its text and its place.
func (t *tally) full(rule string) bool {
	if t.quiet {
		return true
	}
	for _, k := range t.kinds {
		if k.rule == rule && k.n > shownOfAKind {
			k.n++
			return true
		}
	}
	return false
}

// count counts an event of a rule that is given once. The place is made at the
// first event only.
func (t *tally) count(rule, of string, amount float64, span func() finding.Span, finish func(n int, worst float64) finding.Finding) {
	if t.quiet {
		return
	}
	for _, c := range t.counts {
		if c.rule == rule && c.of == of {
			c.n++
			c.worst = max(c.worst, amount)
			return
		}
	}
	t.counts = append(t.counts, &countTally{rule, of, span(), 1, amount, finish})
}

// findings gives everything said so far.
func (t *tally) findings() []finding.Finding {
	out := append([]finding.Finding(nil), t.list...)
	for _, c := range t.counts {
		f := c.finish(c.n, c.worst)
		f.Rule, f.Span = c.rule, c.span
		out = append(out, f)
	}
	for _, k := range t.kinds {
		if rest := k.n - shownOfAKind; rest > 0 {
			out = append(out, finding.Finding{Rule: k.rule, Level: k.level, Span: k.more,
				Text: fmt.Sprintf("and %d more like it from here on", rest)})
		}
	}
	return out
}
