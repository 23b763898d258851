package app

import (
	"math"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/evidence"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/predict"
	"voltwright/internal/quantity"
	"voltwright/internal/runlog"
	"voltwright/internal/study"
	"voltwright/internal/value"
)

// Every statement of the demo is made false in each of the ways that it can be, one at a time: its words are changed,
// what its run measured or its version was predicted, what its note states, what its source says. Each must be caught.
// Then its value is moved as far as its words allow, which must raise nothing.
func TestEveryStatementCanBecomeFalse(t *testing.T) {
	m := newMutation(t)
	var caught, missed, silent, loud int
	count := func(at string, found bool, want bool) {
		switch {
		case want && found:
			caught++
		case want:
			missed++
			t.Errorf("%s: was not caught", at)
		case found:
			loud++
			t.Errorf("%s: raised a finding", at)
		default:
			silent++
		}
	}
	bound := 0
	for _, s := range evidence.Statements(value.New(m.journal, m.results)) {
		if s.Embed.Words == "" {
			continue // the value itself stands there
		}
		bound++
		name := s.Embed.Span.Position().String() + " " + s.Embed.Words
		if words, ok := otherWords(s.Embed.Words); ok {
			count(name+" → "+words, m.judgedWithWords(s, words), true)
		} else {
			t.Errorf("%s: no other words to try", name)
		}
		for _, v := range parts(s.Value) {
			if v.Span.Source == nil || v.Form == value.FormName {
				continue
			}
			found, tried := false, ""
			for _, text := range m.otherStated(v) { // a comparison such as `higher` may stand one of the two
				if !found {
					found, tried = m.judgedStating(s, v, text), tried+" "+text
				}
			}
			if tried != "" {
				count(name+": stated as"+tried, found, true)
			}
		}
		if s.Value.Pair == nil && s.Value.Span.Source != nil && s.Value.Form == value.FormNumber {
			if text, ok := m.within(s); ok {
				count(name+": stated as "+text, m.judgedStating(s, s.Value, text), false)
			}
		}
		if s.Value.Pair == nil && s.Value.Span.Source == nil && s.Value.Form == value.FormNumber {
			for _, factor := range []float64{1.35, 0.6} {
				if results, ok := m.scaled(s.Value, factor); ok && !holds(s, s.Value.Number()*factor) {
					count(name+": measured or computed otherwise", m.judged(m.journal, results, s), true)
				}
			}
			for _, factor := range inside(s) {
				if results, ok := m.scaled(s.Value, factor); ok {
					count(name+": within its precision", m.judged(m.journal, results, s), false)
				}
			}
		}
	}
	quoted := 0
	for _, p := range m.journal.Places() {
		for _, e := range p.Document().Embeds {
			if e.Scheme != notes.SourceScheme {
				continue
			}
			quoted++
			words, ok := otherWords(e.Words)
			count(e.Span.Position().String()+" → "+words, ok && m.judgedWithWords(evidence.Statement{Embed: e, At: p}, words), true)
		}
	}
	t.Logf("%d statements and %d quotations: %d changes that make one false, all caught but %d; %d changes within the precision of the words, %d raised a finding",
		bound, quoted, caught+missed, missed, silent+loud, loud)
	if bound < 80 || quoted == 0 || caught < 2*bound || silent < bound/2 {
		t.Errorf("too little was tried: %d statements, %d quotations, %d caught, %d silent", bound, quoted, caught, silent)
	}
}

// mutation is the demo, computed once, and a copy of its notes to change.
type mutation struct {
	t       *testing.T
	dir     string
	journal *journal.Journal
	results *study.Results
}

func newMutation(t *testing.T) *mutation {
	t.Helper()
	m := &mutation{t: t, dir: t.TempDir()}
	if err := os.CopyFS(m.dir, os.DirFS("../../content")); err != nil {
		t.Fatal(err)
	}
	in, err := read(m.dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(in.close)
	compute(in)
	m.journal, m.results = in.journal, in.results
	if m.anyFalse(in.journal, in.results) {
		t.Fatal("the demo has a false statement to begin with")
	}
	return m
}

func (m *mutation) anyFalse(j *journal.Journal, r *study.Results) bool {
	var found finding.List
	evidence.Judge(value.New(j, r), &found)
	return found.Count(finding.Error) > 0
}

// judged says whether the statement is found false in a journal, with results.
func (m *mutation) judged(j *journal.Journal, r *study.Results, s evidence.Statement) bool {
	m.t.Helper()
	was := s.At.Bound()
	at, ok := j.PlaceOf(s.At.Document().Note.Path)
	index := slices.Index(was, s.Embed)
	if !ok || index < 0 || index >= len(at.Bound()) {
		m.t.Fatalf("%s is lost", s.Embed.Target)
	}
	for _, f := range evidence.JudgeOne(value.New(j, r), at, at.Bound()[index]) {
		if f.Level == finding.Error {
			return true
		}
	}
	return false
}

// rewritten reads the journal with a stretch of one file changed, and puts the file back; refused says whether that is an error.
func (m *mutation) rewritten(file string, from, to int64, text string) (j *journal.Journal, refused bool) {
	m.t.Helper()
	path := filepath.Join(m.dir, filepath.FromSlash(file))
	old, err := os.ReadFile(path)
	if err != nil {
		m.t.Fatal(err)
	}
	changed := string(old[:from]) + text + string(old[to:])
	if err := os.WriteFile(path, []byte(changed), 0o600); err != nil {
		m.t.Fatal(err)
	}
	defer func() {
		if err := os.WriteFile(path, old, 0o600); err != nil {
			m.t.Fatal(err)
		}
	}()
	folder, err := notes.Open(m.dir)
	if err != nil {
		m.t.Fatal(err)
	}
	defer func() { _ = folder.Close() }()
	var found finding.List
	j = journal.Load(folder, &found)
	return j, found.Count(finding.Error) > 0
}

// judgedWithWords says whether the statement is found false with other words.
func (m *mutation) judgedWithWords(s evidence.Statement, words string) bool {
	span := s.Embed.Span
	j, _ := m.rewritten(span.File(), span.Start, span.End, "["+words+"]("+string(s.Embed.Scheme)+":"+s.Embed.Target+")")
	return m.judged(j, m.results, s)
}

// judgedStating says whether the statement is found false where a note states another value. A value that cannot be is an
// error of its own, and nothing is held against it until it is mended.
func (m *mutation) judgedStating(s evidence.Statement, v value.Value, text string) bool {
	j, refused := m.rewritten(v.Span.File(), v.Span.Start, v.Span.End, text)
	return refused || m.judged(j, m.results, s)
}

// parts are the values that a statement rests on.
func parts(v value.Value) []value.Value {
	if v.Pair != nil {
		return []value.Value{v.Pair.First, v.Pair.Second}
	}
	return []value.Value{v}
}

var firstDigit = regexp.MustCompile(`[0-9]`)

// otherWords changes the first digit of words, or their number in words, or the way a comparison goes.
func otherWords(words string) (string, bool) {
	if at := firstDigit.FindStringIndex(words); at != nil {
		d := words[at[0]]
		other := "7"
		switch {
		case d == '7':
			other = "3"
		case d == '0': // 0.9 V
			other = "5"
		case strings.Contains(words, "April"): // a day of the month
			other = "1"
		}
		return words[:at[0]] + other + words[at[1]:], true
	}
	for _, pair := range [][2]string{
		{"two and a half", "three"}, {"five and a half", "four and a half"}, {"half an hour", "an hour and a half"}, {"a minute and a half", "four minutes"}, {"a volt and a half", "three volts"}, {"more than half", "less than half"}, {"well under a third", "well over a third"}, {"half", "a tenth"}, {"quarter of an hour", "half an hour"}, {"a tenth of", "half"}, {"a fifth", "a third"}, {"an hour", "two hours"},
		{"twice", "four times"}, {"higher", "lower"}, {"thirty-six", "forty-six"}, {"twenty-five", "fifteen"}, {"just over thirty", "just over forty"},
		{"twelve", "nine"}, {"nineteen", "fifteen"}, {"eighteen", "eight"}, {"eighty", "sixty"}, {"seven", "nine"}, {"eight", "five"}, {"nine", "eleven"}, {"forty", "seventy"},
		{"twenty", "fifty"}, {"ten", "thirty"}, {"six", "eleven"}, {"five", "nine"}, {"four", "seven"}, {"three", "five"}, {"two", "six"},
	} {
		if i := strings.Index(strings.ToLower(words), pair[0]); i >= 0 {
			return words[:i] + pair[1] + words[i+len(pair[0]):], true
		}
	}
	return words, false
}

// otherStated gives other things that a note may state: a larger and a smaller number, another day.
func (m *mutation) otherStated(v value.Value) []string {
	whole, err := os.ReadFile(filepath.Join(m.dir, filepath.FromSlash(v.Span.File())))
	if err != nil {
		m.t.Fatal(err)
	}
	if v.Form == value.FormDate {
		return []string{v.Day.Time().AddDate(1, 2, 3).Format("2006-01-02")}
	}
	text := strings.Trim(string(whole[v.Span.Start:v.Span.End]), `"`)
	at := firstDigit.FindStringIndex(text)
	if at == nil {
		return nil
	}
	var out []string
	for _, other := range []byte{'9', '1', '4'} {
		if other != text[at[0]] {
			out = append(out, text[:at[0]]+string(other)+text[at[1]:])
		}
	}
	return out
}

func claimOf(s evidence.Statement) (evidence.Claim, bool) {
	c, err := evidence.ClaimOf(s)
	return c, err == nil
}

func holds(s evidence.Statement, x float64) bool {
	c, ok := claimOf(s)
	return ok && c.Holds(x)
}

// inside are factors that move the value to nine tenths of the way to either end of what is claimed.
func inside(s evidence.Statement) []float64 {
	c, ok := claimOf(s)
	x := s.Value.Number()
	if !ok || x == 0 || math.IsNaN(x) {
		return nil
	}
	var out []float64
	for _, end := range []float64{c.Low, c.High} {
		if !math.IsInf(end, 0) {
			out = append(out, (x+0.9*(end-x))/x)
		}
	}
	return out
}

// within states the value nearer to an end of what is claimed.
func (m *mutation) within(s evidence.Statement) (string, bool) {
	c, ok := claimOf(s)
	x := s.Value.Number()
	if !ok || math.IsInf(c.Low, 0) || math.IsInf(c.High, 0) || s.Value.Quantity.Or(quantity.Quantity{}).Dimension == quantity.Time {
		return "", false
	}
	q := s.Value.Quantity.Or(quantity.Quantity{})
	q.Value = x + 0.8*(c.High-x)
	if x >= c.High { // at the end itself
		q.Value = x - 0.5*(c.High-c.Low)
	}
	q.Decimals, q.U = q.Decimals+3, 0
	text := q.Rounded()
	again, err := quantity.ParseAs(text, q.Dimension)
	return text, err == nil && c.Holds(again.Value)
}

// scaled gives the results with what the value is a figure of scaled by a factor.
func (m *mutation) scaled(v value.Value, factor float64) (*study.Results, bool) {
	r := *m.results
	switch {
	case v.Place.Run != nil:
		if _, is := runlog.FigureLabel(v.Name); !is {
			return nil, false
		}
		r.Runs = map[journal.RunID]*runlog.Result{}
		for id, result := range m.results.Runs {
			r.Runs[id] = result
		}
		id := v.Place.Run.ID()
		r.Runs[id] = times(reflect.ValueOf(r.Runs[id]), factor).Interface().(*runlog.Result)
	case v.Place.Version != nil && value.IsAnswer(v.Name):
		r.Predictions = map[string]*predict.Prediction{}
		for path, a := range m.results.Predictions {
			r.Predictions[path] = a
		}
		path := v.Place.Version.Path()
		r.Predictions[path] = times(reflect.ValueOf(r.Predictions[path]), factor).Interface().(*predict.Prediction)
	default:
		return nil, false
	}
	return &r, true
}

// times copies a value with every measured value in it multiplied, as a log with another scale would make it.
func times(v reflect.Value, factor float64) reflect.Value {
	switch v.Kind() {
	case reflect.Pointer:
		if v.IsNil() {
			return v
		}
		out := reflect.New(v.Type().Elem())
		out.Elem().Set(times(v.Elem(), factor))
		return out
	case reflect.Slice:
		if v.IsNil() {
			return v
		}
		out := reflect.MakeSlice(v.Type(), v.Len(), v.Len())
		for i := range v.Len() {
			out.Index(i).Set(times(v.Index(i), factor))
		}
		return out
	case reflect.Struct:
		out := reflect.New(v.Type()).Elem()
		out.Set(v)
		if value, u := out.FieldByName("Value"), out.FieldByName("U"); value.IsValid() && u.IsValid() && value.Kind() == reflect.Float64 && strings.HasPrefix(v.Type().Name(), "Measured[") {
			value.SetFloat(value.Float() * factor)
			return out
		}
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				out.Field(i).Set(times(v.Field(i), factor))
			}
		}
		return out
	}
	return v
}

// In the demo every number with a unit in prose is bound to a value or quotes a source.
func TestNothingInTheDemoRestsOnNothing(t *testing.T) {
	folder, err := openJournal("../../content")
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = folder.Close() }()
	var found finding.List
	for _, f := range evidence.Unbound(journal.Load(folder, &found)) {
		t.Errorf("%s:%s: %s", f.Span.File(), f.Span.Position(), f.Text)
	}
}
