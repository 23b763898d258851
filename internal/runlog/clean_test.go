package runlog

import (
	"bytes"
	"fmt"
	"io"
	"io/fs"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/finding"
)

// cleaned writes a log anew and reads it to its end.
func cleaned(t *testing.T, raw []byte, o Options, places PublishedPlaces) ([]byte, Taken, error) {
	t.Helper()
	c, err := NewCleaned(bytes.NewReader(raw), o, places)
	if err != nil {
		return nil, Taken{}, err
	}
	out, err := io.ReadAll(c)
	if err != nil {
		t.Fatal(err)
	}
	return out, c.Taken(), nil
}

// differs says in what a cleaned log measures unlike the log; "" where in nothing.
func differs(raw, clean []byte, o Options) string {
	a, foundA, errA := Measure(finding.NewStream("log"), bytes.NewReader(raw), o)
	b, foundB, errB := Measure(finding.NewStream("log"), bytes.NewReader(clean), o)
	if errA != nil || errB != nil {
		return fmt.Sprint(errA, errB)
	}
	if line, other := firstUnlike(measuredLines(a), measuredLines(b)); line != other {
		return fmt.Sprintf("%s instead of %s", other, line)
	}
	if x, y := ruleLines(foundA), ruleLines(foundB); x != y {
		return "findings\n" + y + "\ninstead of\n" + x
	}
	return ""
}

// measuredLines are all that a log measures, a line each.
func measuredLines(r *Result) []byte {
	var b bytes.Buffer
	fmt.Fprintln(&b, r.Evidence, r.Rows, r.Skipped)
	for _, f := range r.Figures() {
		fmt.Fprintf(&b, "%+v\n", f)
	}
	for _, s := range r.Stops {
		fmt.Fprintf(&b, "%+v\n", s)
	}
	fmt.Fprintf(&b, "%+v\n", r.Accounts)
	for _, p := range r.Parts {
		p.Offset = 0 // where it begins in the file
		fmt.Fprintf(&b, "%+v\n", p)
	}
	return b.Bytes()
}

// firstUnlike is the first line in which two texts differ.
func firstUnlike(a, b []byte) (string, string) {
	x, y := strings.Split(string(a), "\n"), strings.Split(string(b), "\n")
	for k := range max(len(x), len(y)) {
		if k >= len(x) || k >= len(y) || x[k] != y[k] {
			return strings.Join(x[max(0, k-3):min(len(x), k+1)], " "), strings.Join(y[max(0, k-3):min(len(y), k+1)], " ")
		}
	}
	return "", ""
}

// aboutTaken are the rules that speak of what is taken out.
var aboutTaken = map[string]bool{"log-position-disagrees": true, "log-rows-above": true}

func ruleLines(found []finding.Finding) string {
	var b strings.Builder
	for _, f := range found {
		if !aboutTaken[f.Rule] {
			fmt.Fprintf(&b, "%s %v line %d\n", f.Rule, f.Level, f.Span.Position().Line)
		}
	}
	return b.String()
}

// measuresAlike holds a log against itself as it is published. One that is not read, or of which an error is said, is not published.
func measuresAlike(t *testing.T, name string, raw []byte) (published bool) {
	t.Helper()
	_, found, err := Measure(finding.NewStream("log"), bytes.NewReader(raw), NewOptions())
	if err != nil || slices.ContainsFunc(found, func(f finding.Finding) bool { return f.Level == finding.Error }) {
		return false
	}
	clean, taken, err := cleaned(t, raw, NewOptions(), PublishedPlaces{})
	if err != nil {
		return false
	}
	if same, err := ReadsAlike(bytes.NewReader(raw), bytes.NewReader(clean), NewOptions()); err != nil || !same {
		t.Logf("%s: not published: %v", name, err)
		return false
	}
	if d := differs(raw, clean, NewOptions()); d != "" {
		t.Errorf("%s: %s\nwithout %v", name, d, taken.Words())
	}
	return true
}

// TestCleanedLogsMeasureAlike: every log of the repository gives, as it is published, the figures, stops, accounts and findings
// that it gave, to the last digit.
func TestCleanedLogsMeasureAlike(t *testing.T) {
	if n := logsMeasureAlike(t, 0, longLog); n < 75 {
		t.Errorf("only %d logs were read", n)
	}
}

func TestLongCleanedLogsMeasureAlike(t *testing.T) {
	if n := logsMeasureAlike(t, longLog, math.MaxInt); n < 15 {
		t.Errorf("only %d logs were read", n)
	}
}

// longLog parts the logs of which a test is quick, in bytes.
const longLog = 200 << 10

// logsMeasureAlike holds the logs of a size against themselves, and gives how many of them are published.
func logsMeasureAlike(t *testing.T, from, to int) (n int) {
	t.Helper()
	for _, root := range []string{"testdata", "../../testdata", "../../content"} {
		err := filepath.WalkDir(root, func(p string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !slices.Contains([]string{".csv", ".txt", ".tsv", ".log", ".dat"}, filepath.Ext(p)) {
				return err
			}
			raw, err := os.ReadFile(p)
			if err == nil && len(raw) >= from && len(raw) < to && measuresAlike(t, p, raw) {
				n++
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	return n
}

// TestCleanedDresses: so does the made run in every dress,
func TestCleanedDresses(t *testing.T) {
	for _, d := range dresses {
		measuresAlike(t, d.name, d.write(dressData()))
	}
}

// TestCleanedDamage: and a log that is damaged.
func TestCleanedDamage(t *testing.T) {
	bases, random := thousand(t), rand.New(rand.NewPCG(12, 5))
	wanted := 300
	if testing.Short() {
		wanted = 60
	}
	n := 0
	for turn := 0; n < wanted; turn++ {
		which, kind := random.IntN(len(bases)), damages[turn%len(damages)]
		d := damaged{kind: kind.kind, sheet: bases[which].clone()}
		if !kind.do(d.sheet, random, &d) {
			continue
		}
		n++
		measuresAlike(t, fmt.Sprintf("%s, %s: %s", bases[which].name, d.kind, d.what), []byte(d.sheet.text()))
	}
}
