package reference

import (
	"embed"
	"fmt"
	"slices"
	"strings"
	"sync"
)

// Status says how far a shipped value can be trusted. The set is closed: a table,
// a chemistry or the source of a rule uses these words and no others.
type Status string

// The statuses, from best to worst.
const (
	Stated      Status = "stated"                     // by the maker of the vehicle or of the part
	Confirmed   Status = "confirmed"                  // read in a source of a kind that counts; see Vouched
	Computed    Status = "computed"                   // by a formula, from values that stand with their own status
	OwnersRule  Status = "owner's rule"               // what one owner asks for on his own ground, and no norm
	SecondHand  Status = "second-hand"                // read in a text that quotes, sells or teaches; the original was not
	Practice    Status = "common practice, no source" // what the trade does
	OwnChoice   Status = "own choice"                 // of this program
	FromMemory  Status = "from memory"                // nobody has read it
	Disputed    Status = "disputed"                   // sources disagree
	noSuchOrder        = -1
)

// ranks lists the statuses from best to worst, with what each asks of a reader.
var ranks = []struct {
	status Status
	words  string
}{
	{Stated, "As the maker states it."},
	{Confirmed, "Read in the source named: a standard, a law, a maker's sheet, a paper, a handbook or a measured data set."},
	{Computed, "By a formula."},
	{OwnersRule, "One owner's rule for his own ground: no norm, and no proof that less is safe."},
	{SecondHand, "Second-hand: read in a text that quotes, sells or teaches; the original was not read. Hold it against the maker's data before you rely on it."},
	{Practice, "Common practice of the trade; no source."},
	{OwnChoice, "Our own choice; no source."},
	{FromMemory, "From memory: the value was not read in the source that it is said to be from. Hold it against the maker's data before you rely on it."},
	{Disputed, "Disputed: sources disagree on the value. Go by what the maker of the part says."},
}

// Statuses lists the closed set, from best to worst.
func Statuses() []Status {
	out := make([]Status, len(ranks))
	for i, r := range ranks {
		out[i] = r.status
	}
	return out
}

// Rank is the place of the status in the closed set, 0 for the best; -1 for a word that is none of it.
func (s Status) Rank() int {
	for i, r := range ranks {
		if r.status == s {
			return i
		}
	}
	return noSuchOrder
}

// Known says whether the status is one of the closed set.
func (s Status) Known() bool { return s.Rank() != noSuchOrder }

// Words say to a reader what the status asks of him; "" for an unknown one.
func (s Status) Words() string {
	if n := s.Rank(); n != noSuchOrder {
		return ranks[n].words
	}
	return ""
}

// Weaker is the status of what rests on both.
func (s Status) Weaker(other Status) Status {
	if other.Rank() > s.Rank() {
		return other
	}
	return s
}

// Kind is the kind of a source.
type Kind string

// The kinds in which a value that is called confirmed may have been read, and
// Other, which is every other text: of a seller, a club, a forum, a page without
// an author.
const (
	Standard  Kind = "standard"   // the standard itself, not a text about it
	Law       Kind = "law"        // its text, or an authority's own notice
	DataSheet Kind = "data sheet" // a maker's sheet, manual or catalogue of the part itself
	Paper     Kind = "paper"      // a journal paper or its abstract
	Handbook  Kind = "handbook"
	DataSet   Kind = "data set" // measured
	Other     Kind = "other"
)

//go:embed sources.csv
var sourceFile embed.FS

type source struct {
	cite string
	kind Kind
}

var loadSources = sync.OnceValues(func() ([]source, error) {
	var out []source
	err := Read(sourceFile, "sources.csv", "cite,kind", func(r *Row) {
		s := source{r.Text(), Kind(r.Text())}
		if !slices.Contains([]Kind{Standard, Law, DataSheet, Paper, Handbook, DataSet, Other}, s.kind) {
			r.Fail(fmt.Errorf("no kind of source is called %q", s.kind))
		}
		out = append(out, s)
	})
	return out, err
})

func sources() []source {
	s, err := loadSources()
	if err != nil {
		panic(err) // the file is embedded and a test reads it
	}
	return s
}

// Cited lists the kinds of the registered sources that a sentence names.
func Cited(sentence string) []Kind {
	var out []Kind
	for _, s := range sources() {
		if strings.Contains(sentence, s.cite) && !slices.Contains(out, s.kind) {
			out = append(out, s.kind)
		}
	}
	return out
}

// Vouched says whether a sentence names a source in which a confirmed value may
// have been read. The register is sources.csv: a text that is not in it vouches
// for nothing.
func Vouched(sentence string) bool {
	return slices.ContainsFunc(Cited(sentence), func(k Kind) bool { return k != Other })
}

// Sound says what is wrong with a value's source and status; nil where nothing is.
func Sound(sentence string, status Status) error {
	switch {
	case strings.TrimSpace(sentence) == "":
		return fmt.Errorf("no source")
	case !status.Known():
		return fmt.Errorf("the status %q is none of the closed set", status)
	case status == Confirmed && !Vouched(sentence):
		return fmt.Errorf("called confirmed, and the register has no standard, law, data sheet, paper, handbook or data set for %q", sentence)
	}
	return nil
}

// Claims says what is wrong with a sentence that holds several values, each with
// its status behind it, as the sources of rules do: every "confirmed" has a
// source that counts between it and the status before, and there is a status at
// all; nil where nothing is wrong.
func Claims(sentence string) error {
	rest, found := strings.ToLower(sentence), false
	for _, s := range Statuses() {
		found = found || strings.Contains(rest, string(s))
	}
	if !found {
		return fmt.Errorf("no status in %q", sentence)
	}
	from := 0
	for {
		n := strings.Index(sentence[from:], string(Confirmed))
		if n < 0 {
			return nil
		}
		if before := sentence[from : from+n]; !Vouched(before) {
			return fmt.Errorf("called confirmed without a source that counts: %q", before)
		}
		from += n + len(Confirmed)
	}
}

// Status is the next field as a status of the closed set.
func (r *Row) Status() Status {
	s := Status(r.Text())
	if !s.Known() {
		r.Fail(fmt.Errorf("unknown status %q", s))
	}
	return s
}

// Quoted is the next two fields, a source and the status that it bears out.
func (r *Row) Quoted() (sentence string, status Status) {
	sentence, status = r.Text(), r.Status()
	if err := Sound(sentence, status); err != nil {
		r.Fail(err)
	}
	return sentence, status
}
