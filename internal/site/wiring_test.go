package site

import (
	"bytes"
	"encoding/csv"
	"math"
	"strconv"
	"strings"
	"testing"

	"voltwright/internal/circuit"
	"voltwright/internal/circuit/circuittest"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/partslist"
	"voltwright/internal/site/reading"
	"voltwright/internal/site/wiringsheet"
	"voltwright/internal/wiring"
)

// wiredInput is a journal of two versions, the second of which has the wiring of a worked circuit.
func wiredInput(t testing.TB, name string) (reading.Input, *wiring.Analysis) {
	t.Helper()
	x, err := circuittest.Named(name)
	if err != nil {
		t.Fatal(err)
	}
	in := twoVersions(t)
	w := wiring.Compute(&x.Circuit, x.Points)
	in.Results.Circuits = map[string]*wiring.Analysis{"cart/2-second": w}
	in.Docs = append(in.Docs, circuit.Docs()...)
	return in, w
}

// laidCircuit is a worked circuit as the wiring of a version, laid out.
type laidCircuit struct {
	in   reading.Input
	w    *wiring.Analysis
	p    *frame.Pages
	docs map[string]*document
}

// laidCircuits keeps them between tests, which only read them.
var laidCircuits = map[string]laidCircuit{}

// eachCircuit runs a check on the pages of each worked circuit.
func eachCircuit(t *testing.T, check func(t *testing.T, in reading.Input, w *wiring.Analysis, p *frame.Pages, docs map[string]*document)) {
	all, err := circuittest.All()
	if err != nil {
		t.Fatal(err)
	}
	once.Lock()
	defer once.Unlock()
	for _, x := range all {
		t.Run(x.Name, func(t *testing.T) {
			laid, ok := laidCircuits[x.Name]
			if !ok {
				in, w := wiredInput(t, x.Name)
				p, found := build(t, in)
				for _, f := range found {
					t.Error(f.Text)
				}
				laid = laidCircuit{in, w, p, documents(t, p)}
				laidCircuits[x.Name] = laid
			}
			check(t, laid.in, laid.w, laid.p, laid.docs)
		})
	}
}

// Every lead stands in the cut list, in its table file and on the bench sheet, with its length and both ends, and two
// labels are there to cut out for it; the totals are those of the list.
func TestEveryLeadIsListed(t *testing.T) {
	eachCircuit(t, func(t *testing.T, in reading.Input, w *wiring.Analysis, p *frame.Pages, docs map[string]*document) {
		page, sheet := rows(t, docs["cart/2-second/index.html"], "table-cut-list"), rows(t, docs["cart/2-second/bench-sheet/index.html"], "table-cut-list")
		data, err := p.Bytes("cart/2-second/" + wiringsheet.CutListFile)
		if err != nil {
			t.Fatal(err)
		}
		file, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
		if err != nil || len(file) != len(w.Whips)+1 {
			t.Fatalf("%d rows for %d leads: %v", len(file), len(w.Whips), err)
		}
		for i, whip := range w.Whips {
			mm := strconv.FormatFloat(math.Round(float64(whip.Length)*1e4)/10, 'f', -1, 64)
			cells, ticks := page[whip.Label], sheet[whip.Label]
			if len(cells) != 7 || len(ticks) != 8 {
				t.Fatalf("%s: %d cells, and %d on the bench sheet", whip.Label, len(cells), len(ticks))
			}
			want := []string{whip.A.At.Part + " " + whip.A.At.Name, whip.B.At.Part + " " + whip.B.At.Name, mm, whip.Size.String()}
			if whip.Length == 0 {
				want[2] = "not stated"
			}
			for k, says := range want {
				if got := strings.TrimSpace(text(cells[k])); got != says {
					t.Errorf("%s: cell %d says %q, want %q", whip.Label, k, got, says)
				}
			}
			if whip.Length > 0 && text(ticks[2]) != mm {
				t.Errorf("%s: the bench sheet says %q long, want %q", whip.Label, text(ticks[2]), mm)
			}
			if row := file[i+1]; row[0] != whip.Label || whip.Length > 0 && row[3] != mm || row[1] != whip.A.At.String() {
				t.Errorf("%s: the file has %q", whip.Label, row)
			}
			for k, end := range []circuit.WhipEnd{whip.A, whip.B} {
				got := text(cells[5+k])
				switch {
				case end.Kind == circuit.Ferrule && end.Ferrule.Area > 0:
					strip := strconv.FormatFloat(float64(end.Strip)*1000, 'f', 0, 64)
					if !strings.Contains(got, "ferrule "+circuit.Metric(end.Ferrule.Area).String()) || !strings.Contains(got, "strip "+strip+" mm") || !strings.Contains(got, end.Ferrule.Colour) {
						t.Errorf("%s: an end with a ferrule says %q", whip.Label, got)
					}
					if marked := strings.ContainsAny(got, "†‡"); marked != (end.Status == circuit.FromMemory || end.Status == circuit.Disputed) {
						t.Errorf("%s: the status %q is marked: %v", whip.Label, end.Status, marked)
					}
				case end.Kind == circuit.NotStated && got != "not stated":
					t.Errorf("%s: an end that is not stated says %q", whip.Label, got)
				}
			}
		}
		labels, boxes := map[string]int{}, 0
		for _, n := range elements(docs["cart/2-second/bench-sheet/index.html"].root) {
			if n.Data == "li" && n.Parent != nil && attribute(n.Parent, "class") == "labels" {
				for first := range n.ChildNodes() {
					labels[first.Data]++
					break
				}
			}
			if n.Data == "td" && attribute(n, "class") == "tick" {
				boxes++
			}
		}
		for _, whip := range w.Whips {
			if labels[whip.Label] != 2 {
				t.Errorf("%d labels for %s", labels[whip.Label], whip.Label)
			}
		}
		if boxes != 2*len(w.Whips) {
			t.Errorf("%d boxes to tick for %d leads", boxes, len(w.Whips))
		}
		pieces := 0
		for _, n := range elements(docs["cart/2-second/index.html"].root) {
			if n.Data == "td" && attribute(n, "data-is") == "pieces" && n.Parent.Parent.Parent != nil && attribute(n.Parent.Parent.Parent, "id") == "table-cut-totals" {
				k, _, _ := strings.Cut(text(n), " ")
				one, err := strconv.Atoi(k)
				if err != nil {
					t.Error(err)
				}
				pieces += one
			}
		}
		if pieces != len(w.Whips) {
			t.Errorf("the totals count %d pieces of %d", pieces, len(w.Whips))
		}
	})
}

// Every operating point that was solved has its line, and every verdict its row: what holds, what does not, and what
// cannot be judged. What was read from memory or is disputed is marked as such.
func TestEveryVerdictIsShown(t *testing.T) {
	marked := 0
	eachCircuit(t, func(t *testing.T, in reading.Input, w *wiring.Analysis, p *frame.Pages, docs map[string]*document) {
		d := docs["cart/2-second/index.html"]
		points := rows(t, d, "table-operating-points")
		for _, sol := range w.Solutions {
			what := sol.Point.Name + wiringsheet.PointWords(&sol.Point)
			found := false
			for head, cells := range points {
				if strings.HasPrefix(strings.ReplaceAll(head, " ", ""), strings.ReplaceAll(what, " ", "")) {
					found = true
					for _, load := range sol.Loads {
						if name := w.Circuit.Parts[load.Part].Name; !strings.Contains(text(cells[1]), name) {
							t.Errorf("%s: %s is not among the loads", sol.Point.Name, name)
						}
					}
				}
			}
			if !found {
				t.Errorf("no line for %s", what)
			}
		}
		want, got := map[string]int{}, map[string]int{}
		for _, v := range w.Verdicts {
			switch {
			case v.CannotJudge != "":
				want["table-wiring-cannot"]++
			case v.OK:
				want["table-wiring-holds"]++
			default:
				want["table-wiring-fails"]++
			}
		}
		if k := len(rowsOf(d, "table-wiring-fails")); k != want["table-wiring-fails"] {
			t.Errorf("the version's page has %d rows of what does not hold, want %d", k, want["table-wiring-fails"])
		}
		doubtful := 0
		for _, v := range w.Verdicts {
			if v.CannotJudge == "" && wiringsheet.DoubtMark(v.Status) != "" {
				doubtful++
			}
		}
		marks := 0
		for _, n := range elements(docs["cart/2-second/wiring/index.html"].root) {
			if id := attribute(n, "id"); n.Data == "table" && strings.HasPrefix(id, "table-wiring-") {
				for _, tr := range elements(n) {
					if tr.Data == "th" && attribute(tr, "scope") == "row" {
						got[id]++
					}
					if tr.Data == "sup" {
						marks++
					}
				}
			}
		}
		for id, n := range want {
			if got[id] != n {
				t.Errorf("%s has %d rows, want %d", id, got[id], n)
			}
		}
		if marks != doubtful {
			t.Errorf("%d limits are marked as from memory or disputed, want %d", marks, doubtful)
		}
		marked += marks
		if body := text(d.root); !strings.Contains(body, circuit.AmpacityTables()[0].Title) || !strings.Contains(body, circuit.AmpacityTables()[0].Conditions) {
			t.Error("the table of ampacities is not named with its conditions")
		}
	})
	if marked == 0 {
		t.Error("nothing was marked")
	}
}

// Every rule about the wiring has its words, and an entry of the method page that is there.
func TestRulesOfTheWiringAreExplained(t *testing.T) {
	seen := map[circuit.Rule]bool{}
	docs := map[string]bool{partslist.DocPartsHeld.Name: true}
	for _, d := range circuit.Docs() {
		docs[d.Name] = true
	}
	eachCircuit(t, func(t *testing.T, in reading.Input, w *wiring.Analysis, p *frame.Pages, _ map[string]*document) {
		for _, v := range w.Verdicts {
			seen[v.Rule] = true
		}
	})
	for rule := range seen {
		if wiringsheet.RuleWords[rule].Words == "" {
			t.Errorf("%s has no words", rule)
		}
	}
	for rule, r := range wiringsheet.RuleWords {
		if !docs[r.Doc] {
			t.Errorf("%s: there is no doc %s", rule, r.Doc)
		}
	}
}

// rowsOf are the heads of a table's rows.
func rowsOf(d *document, table string) (heads []string) {
	for _, n := range elements(d.root) {
		if n.Data != "table" || attribute(n, "id") != table {
			continue
		}
		for _, th := range elements(n) {
			if th.Data == "th" && attribute(th, "scope") == "row" {
				heads = append(heads, text(th))
			}
		}
	}
	return heads
}
