package app

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"image"
	"image/png"
	"io"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"voltwright/internal/circuit"
	"voltwright/internal/evidence"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/record"
	"voltwright/internal/safety"
	"voltwright/internal/value"
)

// Every key of the front matter that is accepted changes something. testdata/keys/rows.txt has a row for each, a line:
//
//	KEY | CHANGE                what is changed in the sound journal testdata/keys/trolley.txtar
//	KEY | with BEFORE | CHANGE  what makes it matter is put in before
//	KEY of KIND | ...           a key of the wiring's parts that every kind has, of each kind that takes it
//	... | says RULE             a name: whatever goes by it no longer finds it, and RULE says so
//	... | was NUMBER            what the page printed of the key before, for a key whose effect is a sum of a page
//	... | at PAGE               where its words are printed, if not on the page of its own note
//
// A change is PATH = VALUE or drop PATH in the front matter of the version, or of another note that is named before a
// colon; ` && ` is between two. Items of lists go by their number from 1, or by the name that they have.
//
// A key with a dimension has to change a number that was computed, a finding or a drawing. Any other has to change
// what its own page prints; where the change holds a word in capitals, that word has to stand there. Alterations that
// the program calls wrong prove nothing and fail.
func TestEveryKeyChangesSomething(t *testing.T) {
	rows := readKeyRows(t)
	base := newKeyTrial(t)
	held := map[string]bool{}
	var words []*keyRow
	var others []*keyRow
	for _, r := range rows {
		held[r.name()] = true
		if r.word != "" && r.with == "" {
			words = append(words, r)
		} else {
			others = append(others, r)
		}
	}
	wanted := wantedKeys()
	for _, name := range wanted {
		if !held[name] {
			t.Errorf("no row says what %s changes", name)
		}
	}
	for _, r := range rows {
		if !slices.Contains(wanted, r.name()) {
			t.Errorf("line %d: %s is no key of the front matter, or not of this kind", r.line, r.name())
		}
	}
	base.words(t, words)
	how := make([]string, len(others))
	t.Run("rows", func(t *testing.T) {
		for i, r := range others {
			t.Run(r.name(), func(t *testing.T) {
				t.Parallel()
				var err error
				if how[i], err = base.try(t, r); err != nil {
					t.Errorf("rows.txt:%d: %s: %v", r.line, r.name(), err)
				}
			})
		}
	})
	count := map[string]int{"its words are printed": len(words)}
	for _, h := range how {
		count[h]++
	}
	t.Logf("%d keys, those of the wiring's parts counted once for each kind that takes them; %d rows: %v", len(wanted), len(rows), count)
}

// A comment in a note changes nothing, so that what a row changes is not the note's bytes.
func TestACommentChangesNothing(t *testing.T) {
	base := newKeyTrial(t)
	a := base.archive()
	for i, f := range a.Files {
		if strings.HasSuffix(f.Name, ".md") {
			a.Files[i].Data = []byte(strings.Replace(string(f.Data), "---\n", "---\n# nothing\n", 1))
		}
	}
	before, after := base.view(t, base.archive(), predicted), base.view(t, a, predicted)
	if before.machine != after.machine {
		t.Error("a comment changes a result or a finding")
	}
	for path, page := range before.pages {
		if after.pages[path] != page {
			t.Errorf("a comment changes %s", path)
		}
	}
}

// The test notices a key that changes nothing: here what is stated already, and a key with a dimension whose value only
// a page repeats.
func TestADeadKeyIsFound(t *testing.T) {
	base := newKeyTrial(t)
	for _, r := range []*keyRow{
		{key: "packs.capacity", then: "packs.1.capacity = 12 Ah"},
		{key: "packs.capacity", then: "summary = It takes 99 Ah of words."},
		{key: "summary", then: "packs.1.mass = 3.4 kg"},
		{key: "packs.capacity", then: "packs.1.capacity = 12"},
	} {
		if how, err := base.try(t, r); err == nil {
			t.Errorf("%s: %s: %s", r.key, r.then, how)
		}
	}
}

// keyRow is one alteration of one key.
type keyRow struct {
	line       int
	key, kind  string
	with, then string
	at         string
	was        string // what the key had before, where the row has to say so
	says       string // the rule that speaks where something else no longer finds what the key named
	word       string // in capitals, that the page has to print
}

func (r *keyRow) name() string {
	if r.kind != "" {
		return r.key + " of " + r.kind
	}
	return r.key
}

var capitals = regexp.MustCompile(`\b[A-Z]{6,}\b`)

func readKeyRows(t *testing.T) []*keyRow {
	t.Helper()
	text, err := os.ReadFile("testdata/keys/rows.txt")
	if err != nil {
		t.Fatal(err)
	}
	var out []*keyRow
	for i, line := range strings.Split(string(text), "\n") {
		if line = strings.TrimSpace(line); line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		cells := strings.Split(line, " | ")
		r := &keyRow{line: i + 1}
		r.key, r.kind, _ = strings.Cut(strings.TrimSpace(cells[0]), " of ")
		for _, c := range cells[1:] {
			c = strings.TrimSpace(c)
			switch {
			case strings.HasPrefix(c, "with "):
				r.with = strings.TrimPrefix(c, "with ")
			case strings.HasPrefix(c, "was "):
				r.was = strings.TrimPrefix(c, "was ")
			case strings.HasPrefix(c, "says "):
				r.says = strings.TrimPrefix(c, "says ")
			case strings.HasPrefix(c, "at "):
				r.at = strings.TrimPrefix(c, "at ")
			default:
				r.then = c
			}
		}
		if r.then == "" {
			t.Fatalf("rows.txt:%d: no change", r.line)
		}
		r.word = capitals.FindString(r.then)
		out = append(out, r)
	}
	return out
}

// wantedKeys are the keys that need a row: each that holds a value, a key of the wiring's parts once for each kind
// that takes it.
func wantedKeys() []string {
	var out []string
	var walk func(keys []journal.FrontKey)
	walk = func(keys []journal.FrontKey) {
		for _, k := range keys {
			kinds := journal.KindsOf(k.Path)
			switch {
			case len(k.Keys) > 0 && len(k.Shape.Instead) == 0:
			case len(kinds) > 0:
				for _, kind := range kinds {
					out = append(out, k.Path+" of "+string(kind))
				}
			case k.Path == "wiring.parts.kind":
				for _, kind := range circuit.Kinds() {
					out = append(out, k.Path+" of "+string(kind))
				}
			default:
				out = append(out, k.Path)
			}
			walk(k.Keys)
		}
	}
	for _, f := range journal.Fronts() {
		walk(f.Keys)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// dimensional are the keys whose values have a dimension.
var dimensional = sync.OnceValue(func() map[string]bool {
	out := map[string]bool{}
	var walk func(keys []journal.FrontKey)
	walk = func(keys []journal.FrontKey) {
		for _, k := range keys {
			switch k.Shape.Of {
			case journal.OfDimension, journal.OfRange, journal.AnyQuantity, journal.OfAccuracy:
				// a fact is there for sentences to quote, and a counter's hours beside work are read: nothing is computed with either
				out[k.Path] = k.Path != "facts.value" && k.Path != "maintenance.hours-run"
			}
			walk(k.Keys)
		}
	}
	for _, f := range journal.Fronts() {
		walk(f.Keys)
	}
	return out
})

// keyTrial is the sound journal that rows change.
type keyTrial struct {
	text string
	mu   sync.Mutex
	seen map[string]*keyView // by what was put in before
}

func newKeyTrial(t *testing.T) *keyTrial {
	t.Helper()
	text, err := os.ReadFile("testdata/keys/trolley.txtar")
	if err != nil {
		t.Fatal(err)
	}
	return &keyTrial{text: string(text), seen: map[string]*keyView{}}
}

func (k *keyTrial) archive() *txtar.Archive { return txtar.Parse([]byte(k.text)) }

// keyView is what the program makes of a journal.
type keyView struct {
	machine string            // results and findings
	pages   map[string]string // what each page holds between its head and its foot
	wrong   string            // an error that is no callout
}

// smallPicture is a grey PNG.
var smallPicture = sync.OnceValue(func() []byte {
	var b bytes.Buffer
	if err := png.Encode(&b, image.NewGray(image.Rect(0, 0, 12, 8))); err != nil {
		panic(err)
	}
	return b.Bytes()
})

// depth is how far a journal is taken.
type depth int

const (
	computed  depth = iota // results and findings but for the answers, which take longest
	printed                // and the pages
	predicted              // and the answers, on the pages as well
)

// view takes a journal through the pipeline.
func (k *keyTrial) view(t *testing.T, a *txtar.Archive, to depth) *keyView {
	t.Helper()
	dir := t.TempDir()
	for _, f := range a.Files {
		at := filepath.Join(dir, filepath.FromSlash(f.Name))
		if err := errors.Join(os.MkdirAll(filepath.Dir(at), 0o755), os.WriteFile(at, f.Data, 0o644)); err != nil {
			t.Error(err)
		}
	}
	for _, name := range []string{"photo.png", "other.png"} {
		if err := os.WriteFile(filepath.Join(dir, "trolley", "2-wired", name), smallPicture(), 0o644); err != nil {
			t.Error(err)
		}
	}
	in, err := read(dir)
	if err != nil {
		t.Error(err)
		return &keyView{}
	}
	defer in.close()
	if to == predicted {
		judge(in)
	} else {
		in.study.Wire()
		judgeUnpredicted(in)
	}
	v := &keyView{}
	var said []finding.Finding
	for _, f := range in.findings.Sorted() {
		if f.Level == finding.Error && f.Signal == "" {
			v.wrong += fmt.Sprintf("%s: %s [%s]\n", f.Span.Position(), f.Text, f.Rule)
		}
		said = append(said, f)
	}
	v.machine = machineReadable(in, said)
	if to > computed {
		pages, err := lay(in, func(path string) (io.ReadCloser, error) { return in.folder.OpenFile(path) }, nil, nil, nil)
		if err != nil {
			t.Error(err)
			return v
		}
		v.pages = map[string]string{}
		for _, path := range pages.Paths() {
			if strings.HasSuffix(path, ".html") || strings.HasSuffix(path, ".xml") {
				text, err := pages.Bytes(path)
				if err != nil {
					t.Error(err)
				}
				v.pages[path] = lineNumber.ReplaceAllString(string(text), "")
			}
		}
	}
	return v
}

// judgeUnpredicted asks the rules without the answers, which take most of the time.
func judgeUnpredicted(in *inspected) {
	safety.Judge(in.journal, in.results, &in.findings)
	evidence.Judge(value.New(in.journal, in.results), &in.findings)
}

// unprovenRules say of a value that it is unlikely or written twice: they prove nothing of what is made of it.
var unprovenRules = []string{"unlikely-value", "former-key"}

// machineReadable is what the program computed and found, as programs read it. What only repeats the front matter is
// left out: the list of leads.
func machineReadable(in *inspected, found []finding.Finding) string {
	var out []any
	for _, f := range found {
		if !slices.Contains(unprovenRules, f.Rule) {
			out = append(out, []any{f.Rule, f.Level, f.Signal, f.Text, f.Remedy, f.Numbers})
		}
	}
	for _, vehicle := range in.journal.Vehicles {
		for _, v := range vehicle.Versions {
			if a := in.results.Predictions[v.Path()]; a != nil {
				out = append(out, record.OfPrediction(a))
			}
			if d := in.results.Drive(v.Path()); d != nil {
				out = append(out, record.OfPerformance(d))
			}
			if w := in.results.Circuit(v.Path()); w != nil {
				r := record.OfWiring(w)
				r.Cut = nil
				out = append(out, r)
			}
			for _, run := range v.Runs {
				if r := in.results.Runs[run.ID()]; r != nil {
					out = append(out, record.OfRun(r))
				}
			}
		}
	}
	text, err := json.Marshal(out)
	if err != nil {
		return err.Error()
	}
	return string(text)
}

// before is the journal with what a row puts in before.
func (k *keyTrial) before(t *testing.T, with string, to depth) *keyView {
	key := fmt.Sprint(to, with)
	k.mu.Lock()
	v := k.seen[key]
	k.mu.Unlock()
	if v != nil {
		return v
	}
	a := k.archive()
	changeAll(t, a, with)
	v = k.view(t, a, to)
	k.mu.Lock()
	k.seen[key] = v
	k.mu.Unlock()
	return v
}

// unwired is the journal without its wiring, whose drawings take long, for rows that have nothing to do with it.
const unwired = "drop wiring && drop parts.1.wired-as && drop parts.2.wired-as"

// try says how a row's key shows: in the first that shows it.
func (k *keyTrial) try(t *testing.T, r *keyRow) (string, error) {
	number := dimensional()[r.key]
	for _, to := range []depth{computed, printed, predicted} {
		with := r.with
		if to == printed && !strings.HasPrefix(r.key, "wiring") && !strings.Contains(with+r.then, "wired-as") && !strings.Contains(with+r.then, "wiring") {
			with = strings.Trim(with+" && "+unwired, "& ")
		}
		a := k.archive()
		changeAll(t, a, with)
		changeAll(t, a, r.then)
		before, after := k.before(t, with, to), k.view(t, a, to)
		switch {
		case r.says != "" && before.wrong == "" && strings.Contains(after.wrong, "["+r.says+"]"):
			return "something else no longer finds it", nil
		case before.wrong != "" || after.wrong != "":
			return "", fmt.Errorf("the program calls it wrong: %s%s", before.wrong, after.wrong)
		case before.machine != after.machine && r.word == "":
			return "a number or a finding changes", nil
		case to == computed:
		case number && drawings(before.pages) != drawings(after.pages):
			return "a drawing changes", nil
		case number && numbersBut(r, k.own(before, r)) != numbersBut(r, k.own(after, r)):
			return "a printed sum changes", nil
		case !number && r.word != "" && !strings.Contains(k.own(before, r), r.word) && strings.Contains(k.own(after, r), r.word):
			return "its words are printed", nil
		case !number && r.word == "" && k.own(before, r) != k.own(after, r):
			return "its own page changes", nil
		}
	}
	return "", fmt.Errorf("changes nothing: %s", r.then)
}

var tag, figure = regexp.MustCompile(`<[^>]*>`), regexp.MustCompile(`\d+(\.\d+)?`)

// numbersBut are the numbers of a page but for the one that the row itself writes, before and after.
func numbersBut(r *keyRow, page string) string {
	own := map[float64]bool{}
	for _, n := range figure.FindAllString(r.then+" "+r.was, -1) {
		x, _ := strconv.ParseFloat(n, 64)
		own[x] = true
	}
	var out []string
	for _, n := range figure.FindAllString(tag.ReplaceAllString(page, " "), -1) {
		if x, _ := strconv.ParseFloat(n, 64); !own[x] {
			out = append(out, n)
		}
	}
	return strings.Join(out, " ")
}

// words tries all rows whose words have to be printed, in one journal.
func (k *keyTrial) words(t *testing.T, rows []*keyRow) {
	a := k.archive()
	for _, r := range rows {
		changeAll(t, a, r.then)
	}
	before, after := k.before(t, "", printed), k.view(t, a, printed)
	if after.wrong != "" {
		t.Errorf("the journal with other words is wrong: %s", after.wrong)
	}
	for _, r := range rows {
		if !strings.Contains(k.own(after, r), r.word) || strings.Contains(k.own(before, r), r.word) {
			t.Errorf("rows.txt:%d: the words of %s are not printed: %s", r.line, r.name(), r.then)
		}
	}
}

var drawn = regexp.MustCompile(`(?s)<svg.*?</svg>`)

func drawings(pages map[string]string) string {
	var out []string
	for path, page := range pages {
		out = append(out, path+strings.Join(drawn.FindAllString(page, -1), ""))
	}
	slices.Sort(out)
	return strings.Join(out, "")
}

// lineNumber is where a finding stands in its note, as the pages print it.
var lineNumber = regexp.MustCompile(`, line \d+`)

// own is what the pages of a row's note print: the page itself and those below it, but not those of another note.
func (k *keyTrial) own(v *keyView, r *keyRow) string {
	if r.at != "" {
		return v.pages[r.at]
	}
	note, _ := splitChange(strings.Split(r.then, " && ")[0])
	var out []string
	for path, page := range v.pages {
		if ownPage(note, path) {
			out = append(out, path+page)
		}
	}
	slices.Sort(out)
	return strings.Join(out, "")
}

func ownPage(note, page string) bool {
	switch note {
	case "journal":
		return page == "index.html"
	case "vehicle":
		return page == "trolley/index.html"
	case "version":
		return page == "trolley/2-wired/index.html" || page == "trolley/2-wired/wiring/index.html" || page == "trolley/2-wired/bench-sheet/index.html" || page == "trolley/2-wired/first-power/index.html"
	}
	return strings.HasSuffix(path.Dir(page), "/"+note) || strings.HasSuffix(path.Dir(page), "-"+note) || strings.Contains(page, "/"+note+"/")
}
