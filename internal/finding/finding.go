// Package finding holds what inspection has to say and where it was seen.
//
// It owns the one position type of the program: a byte offset in a [Source],
// turned into line and column only when it is printed. A [Finding] is data: its
// text never contains its own place, so that findings can be compared, sorted
// and counted. Printers for the GNU form, JSON and SARIF 2.1.0 are here, and so
// is [Doc], the one text that both `voltwright explain` and the site's method
// page print.
//
// What it cannot catch: a source whose text has changed on disk since it was
// read gives the lines of the text that was read.
package finding

import (
	"cmp"
	"fmt"
	"html"
	"slices"
	"strings"
)

// Level says how much a finding matters.
type Level uint8

// The levels, in rising order. Only an Error stops a publish.
const (
	Note Level = iota
	Warning
	Error
)

// String gives the word that is printed for the level.
func (l Level) String() string {
	switch l {
	case Error:
		return "error"
	case Warning:
		return "warning"
	default:
		return "note"
	}
}

// MarshalText gives the level as its word. The error is always nil.
func (l Level) MarshalText() ([]byte, error) { return []byte(l.String()), nil }

// Finding is one thing that inspection has to say.
type Finding struct {
	Rule    string    // the name of its Doc: lower-case words joined by hyphens
	Level   Level     // how much it matters
	Signal  Signal    // the signal word of a callout; "" for a finding that is none
	Span    Span      // where it was seen; the zero Span has no place
	Text    string    // one sentence with the numbers in it, without its own place
	Remedy  string    // what to do, as an order to the maker; may be empty
	Related []Related // other places that bear on it

	Gauge    *Gauge  // of a callout: the number against its limit; nil where it rests on none
	Numbers  string  // of a callout: what it rests on, in the words that an answer to it repeats
	Answer   *Answer // of a callout: what the maker answers; nil: nothing
	Unjudged bool    // a rule of safety that lacks a value and says so
}

// Gauge is a number held against a limit, as data, for a small drawing beside
// the sentence. Value and Limit are in one unit; Written and Bound are the two
// as they are printed.
type Gauge struct {
	What         string // what is measured or set: "opening voltage"
	Value, Limit float64
	Written      string // "12.2 V"
	Bound        string // "15 V"
	Least        bool   // the limit is the least that may be, else the most
	Source       string // where this limit comes from; "" where the rule's own source says it
}

// String gives the number against its limit in words: "12.2 V, at least 14 V".
func (g Gauge) String() string {
	word := "at most"
	if g.Least {
		word = "at least"
	}
	return g.Written + ", " + word + " " + g.Bound
}

// Answer is what the maker answers to a callout. It stands beside the callout,
// never instead of it.
type Answer struct {
	Reason string
	Span   Span
}

// Signal is the signal word of a callout, a finding that concerns safety. The
// words and what they mean are those of ANSI Z535.6 and ISO 3864-2.
type Signal string

// The signal words, from the most serious.
const (
	Danger         Signal = "DANGER"  // a hazard that will, if not avoided, kill or seriously injure
	SignalWarning  Signal = "WARNING" // one that could
	Caution        Signal = "CAUTION" // one that could injure slightly or moderately
	PropertyNotice Signal = "NOTICE"  // practices that concern property, not injury
)

// Open tells whether a finding is a DANGER or a WARNING that nobody has answered: what a maker sees to first.
func (f Finding) Open() bool {
	return (f.Signal == Danger || f.Signal == SignalWarning) && f.Answer == nil
}

// Related is another place that bears on a finding, and why.
type Related struct {
	Span Span
	Text string
}

// List collects findings. The zero List is ready to use; it is not safe for
// use by several goroutines at once.
type List struct {
	all  []Finding
	seen map[kind]int // how many there are of a kind
	more map[kind]int // where in all stands what is said of those beyond MaxAlike

	added int
}

// MaxAlike is how many findings of one rule and level a List keeps for one file. Those beyond are counted, and one
// finding says so: a file of a megabyte could ask for more of them than the machine has room for, and nobody reads them.
const MaxAlike = 200

// MaxOfRule is the same for all files together.
const MaxOfRule = 5000

type kind struct {
	file, rule string
	level      Level
}

// Add appends findings in the order seen.
func (l *List) Add(f ...Finding) {
	if l.seen == nil {
		l.seen, l.more = map[kind]int{}, map[kind]int{}
	}
	l.added += len(f)
	for _, one := range f {
		inFile, inAll := kind{one.Span.File(), one.Rule, one.Level}, kind{rule: one.Rule, level: one.Level}
		l.seen[inFile]++
		switch {
		case one.Signal != "": // no callout is hidden
			l.all = append(l.all, one)
		case l.seen[inFile] > MaxAlike:
			l.beyond(inFile, one, l.seen[inFile]-MaxAlike, "of this file")
		default:
			if l.seen[inAll]++; l.seen[inAll] > MaxOfRule {
				l.beyond(inAll, one, l.seen[inAll]-MaxOfRule, "of this and of other files")
				continue
			}
			l.all = append(l.all, one)
		}
	}
}

// beyond counts a finding that is not kept.
func (l *List) beyond(k kind, one Finding, n int, where string) {
	if n == 1 {
		l.more[k] = len(l.all)
		l.all = append(l.all, Finding{Rule: one.Rule, Level: one.Level, Span: one.Span,
			Remedy: fmt.Sprintf("see to those that are told, which are %d of a rule for one file and %d for all.", MaxAlike, MaxOfRule)})
	}
	places := "places"
	if n == 1 {
		places = "place"
	}
	l.all[l.more[k]].Text = fmt.Sprintf("the same is so at %d more %s %s", n, places, where)
}

// All returns the findings in the order in which they were added.
func (l *List) All() []Finding { return l.all }

// Added counts all that was ever added, kept or not.
func (l *List) Added() int { return l.added }

// Len counts what is kept, repeats included.
func (l *List) Len() int { return len(l.all) }

// Count counts the sorted, repeat-free findings of one level.
func (l *List) Count(level Level) int {
	n := 0
	for _, f := range l.Sorted() {
		if f.Level == level {
			n++
		}
	}
	return n
}

// Worst is the highest level of all, and false if there is no finding.
func (l *List) Worst() (Level, bool) {
	worst := Note
	for _, f := range l.all {
		worst = max(worst, f.Level)
	}
	return worst, len(l.all) > 0
}

// Sorted returns the findings by file, place, level (worst first), rule and
// text, each said once. The list itself keeps its order.
func (l *List) Sorted() []Finding {
	out := slices.Clone(l.all)
	slices.SortStableFunc(out, compare)
	return slices.CompactFunc(out, func(a, b Finding) bool { return compare(a, b) == 0 })
}

func compare(a, b Finding) int {
	return cmp.Or(
		cmp.Compare(a.Span.File(), b.Span.File()),
		cmp.Compare(a.Span.Start, b.Span.Start),
		cmp.Compare(b.Level, a.Level),
		cmp.Compare(a.Rule, b.Rule),
		cmp.Compare(a.Text, b.Text),
		cmp.Compare(a.Remedy, b.Remedy),
	)
}

// Sentence begins a text with a capital and ends it with a full stop. A text that begins with code or a lower-case unit
// keeps its first letter; words quoted at the end bring their own stop.
func Sentence(text string) string {
	text = strings.TrimSpace(text)
	if text == "" {
		return ""
	}
	first, _, _ := strings.Cut(text, " ")
	if strings.Trim(strings.TrimSuffix(first, "."), "abcdefghijklmnopqrstuvwxyz'’,;:") == "" {
		text = strings.ToUpper(text[:1]) + text[1:]
	}
	if end := strings.TrimRight(text, "\"”’)"); end == "" || !strings.ContainsAny(end[len(end)-1:], ".!?") {
		text += "."
	}
	return text
}

// SentenceOf makes an error one.
func SentenceOf(err error) string { return Sentence(err.Error()) }

// HTML is a text for a page, with what stands between backticks set as code.
func HTML(text string) string {
	var b strings.Builder
	for i, part := range strings.Split(text, "`") {
		if part = html.EscapeString(part); i%2 == 1 {
			part = "<code>" + part + "</code>"
		}
		b.WriteString(part)
	}
	return b.String()
}
