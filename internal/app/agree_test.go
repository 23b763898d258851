package app

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"voltwright/internal/begin"
	"voltwright/internal/journal"
	"voltwright/internal/predict"
	"voltwright/internal/quantity"
	"voltwright/internal/record"
	"voltwright/internal/value"
)

// agreed is a journal of one version with a question about how long it runs, read and judged.
func agreed(t *testing.T) (*inspected, *journal.Version, *predict.Prediction) {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "journal")
	if _, err := begin.Journal(dir); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(filepath.Join(dir, "questions"), 0o755); err != nil {
		t.Fatal(err)
	}
	note := "---\nkind: question\ntitle: How long does it run?\ndate: 2026-01-20\nbears: [trolley/1-first-pack]\nprediction: trolley/1-first-pack/run-time/bench-2026-01-17/own\n---\n\nLong enough.\n"
	if err := os.WriteFile(filepath.Join(dir, "questions", "how-long.md"), []byte(note), 0o644); err != nil {
		t.Fatal(err)
	}
	in, err := read(dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(in.close)
	judge(in)
	v := in.journal.Vehicles[0].Versions[0]
	a := in.results.Predictions[v.Path()]
	if a == nil || len(a.Table.Loads) == 0 {
		t.Fatalf("nothing is computed: %v", in.findings.Sorted())
	}
	return in, v, a
}

// Thousands of answers of any size and uncertainty, and of reasons that there is none, through all that tells them: the
// table of the version's page, the question's page, predict, reply, what a sentence is bound to, and the JSON read back.
// What is printed is the same to the last digit, or the same reason. The numbers are drawn and not computed, since it is
// the telling that is tried; that each of these asks for one computing is another test's.
func TestOneAnswerWhereverItIsAsked(t *testing.T) {
	in, v, a := agreed(t)
	load := a.Table.Loads[0]
	random := rand.New(rand.NewPCG(5, 13))
	seconds := func(s float64) quantity.Measured[quantity.Seconds] {
		u := s * math.Pow(10, -2.5*random.Float64()-0.4)
		if random.IntN(12) == 0 {
			u = s * math.Pow(10, -6*random.Float64())
		}
		return quantity.Of(quantity.Seconds(s), quantity.Seconds(u))
	}
	told := 0
	for range 14 {
		a.Table.Loads, a.Table.Cells = nil, nil
		for i := range 24 {
			l := load
			if i > 0 {
				l.Name, l.Label = fmt.Sprintf("load-%d", i), fmt.Sprintf("load %d", i)
			}
			l.Duty = 0.5
			var row []predict.RunTime
			for j, c := range a.Table.Columns {
				s := 60 * math.Pow(10, 4*random.Float64())
				reach := func() predict.EndPoint {
					return predict.EndPoint{Volts: 11.8, Running: seconds(s), UnderLoad: seconds(s * 0.8), Clock: seconds(2 * s),
						Charge: quantity.Of[quantity.AmpereHours](9, 0.2), Energy: quantity.Of[quantity.WattHours](100, 3), Left: quantity.Of[quantity.AmpereHours](1, 0.1)}
				}
				end := reach()
				if random.IntN(8) == 0 && i > 0 {
					none := quantity.Missing[quantity.Seconds]()
					end.Running, end.UnderLoad, end.Clock, end.Err = none, none, none, fmt.Sprintf("The load of %d W is more than the pack can give.", 100+random.IntN(900))
				}
				row = append(row, predict.RunTime{Name: "run-time/" + l.Name + "/" + c.Name, Load: i, Column: j, Cutout: &end, Conservative: reach(), Datasheet: reach(), Replayed: predict.Replay{Clock: quantity.Seconds(math.NaN())}})
			}
			a.Table.Loads, a.Table.Cells = append(a.Table.Loads, l), append(a.Table.Cells, row)
		}
		told += agree(t, in, v, a, a.Table.Cells[0][0].Name)
	}
	t.Logf("%d numbers and reasons, each told in five places", told)
	if told < 2500 {
		t.Errorf("only %d", told)
	}
}

// agree holds what each place says of every cell against the others, and counts them; the question asks for one of them.
func agree(t *testing.T, in *inspected, v *journal.Version, a *predict.Prediction, asked string) int {
	t.Helper()
	in.values = value.New(in.journal, in.results) // the answers were drawn since
	pages, err := lay(in, func(name string) (io.ReadCloser, error) { return in.folder.OpenFile(name) }, nil, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	onPage := cellsOf(t, pages.Bytes, v.Path()+"/index.html")
	question := flat(strings.Join(textsOf(t, pages.Bytes, "questions/how-long/index.html"), " "))
	var terminal bytes.Buffer
	if err := printPredicted(&terminal, "", nil, a, moved{}); err != nil {
		t.Fatal(err)
	}
	predicted := flat(terminal.String())
	var readAgain record.Prediction
	text, err := json.Marshal(record.OfPrediction(a))
	if err == nil {
		err = json.Unmarshal(text, &readAgain)
	}
	if err != nil {
		t.Fatal(err)
	}
	values := map[string]value.Value{}
	for _, x := range in.values.At(v.Place()) {
		values[x.Name] = x
	}
	told := 0
	for i, row := range a.Table.Cells {
		for j, c := range row {
			end := c.End()
			page, json := onPage[strings.ReplaceAll(c.Name, "/", "-")], readAgain.RunTimes[i*len(row)+j].Cutout
			if end.Err != "" {
				told++
				if json.Error != end.Err || values[c.Name].Why() != end.Err || !strings.Contains(page, flat(end.Err)) || !strings.Contains(predicted, flat(end.Err)) {
					t.Errorf("%s: %q; the JSON has %q, the value %q, the page %q", c.Name, end.Err, json.Error, values[c.Name].Why(), page)
				}
				continue
			}
			numbers := []record.Number{json.Running, json.UnderLoad, json.Clock}
			for k, m := range end.Measures() {
				told++
				want := predict.TimeWords(m.Time)
				if got := predict.TimeWords(readBack(numbers[k])); got != want {
					t.Errorf("%s: %s is %s, and the JSON has %s", c.Name, m.Words, want, got)
				}
				name := strings.TrimSuffix(c.Name+"/"+m.Name, "/")
				if got := values[name].Words(); got != want {
					t.Errorf("%s: %s is %s, and a sentence gets %s", name, m.Words, want, got)
				}
				if !strings.Contains(page, flat(want)) {
					t.Errorf("%s: %s is %s, and the page has %s", c.Name, m.Words, want, page)
				}
				if !strings.Contains(predicted, flat(want)) && j == 0 {
					t.Errorf("%s: %s is %s, and predict does not say it", c.Name, m.Words, want)
				}
				if c.Name == asked {
					said, why := shortened(in, in.journal.Questions[0], 60)
					inReply := want
					if k == 0 { // the answer itself, with its bounds
						inReply = predict.BoundedTime(m.Time)
					}
					if !strings.Contains(flat(said), flat(inReply)) || why != "" {
						t.Errorf("%s is %s, and the reply is %q %s", m.Words, inReply, said, why)
					}
					parts := m.Time.Quantity().Parts()
					if large := flat(parts.Value + parts.Unit + "±" + parts.Plus + parts.Unit); !strings.Contains(question, flat(want)) && !strings.Contains(question, large) {
						t.Errorf("%s is %s, and the question's page does not say it", m.Words, want)
					}
				}
			}
		}
	}
	return told
}

func readBack(n record.Number) quantity.Measured[quantity.Seconds] {
	m := quantity.Missing[quantity.Seconds]()
	if n.Value != nil {
		m = quantity.Of(quantity.Seconds(*n.Value), m.U)
	}
	if n.U != nil {
		m.U = quantity.Seconds(*n.U)
	}
	return m
}

// flat is a text without what differs between a page and a terminal: breaks of lines, spaces that do not break, minus signs.
func flat(text string) string {
	text = strings.NewReplacer("\u00a0", " ", "\u202f", " ", "\u2009", " ", "−", "-", "(", "", ")", "").Replace(text)
	return strings.Join(strings.Fields(text), "")
}

// cellsOf are the texts of everything on a page that has an id, by it.
func cellsOf(t *testing.T, read func(string) ([]byte, error), name string) map[string]string {
	t.Helper()
	out := map[string]string{}
	walk(t, read, name, func(n *html.Node) {
		for _, at := range n.Attr {
			if at.Key == "id" && n.Data == "td" {
				out[at.Val] = flat(textOf(n))
			}
			if at.Key == "id" && n.Data == "span" && n.Parent != nil { // one sentence for all cells of a row
				out[at.Val] = flat(textOf(n.Parent))
			}
		}
	})
	return out
}

func textsOf(t *testing.T, read func(string) ([]byte, error), name string) []string {
	t.Helper()
	var out []string
	walk(t, read, name, func(n *html.Node) {
		if n.Data == "body" {
			out = append(out, textOf(n))
		}
	})
	return out
}

func walk(t *testing.T, read func(string) ([]byte, error), name string, visit func(*html.Node)) {
	t.Helper()
	data, err := read(name)
	if err != nil {
		t.Fatal(err)
	}
	root, err := html.Parse(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	for n := range root.Descendants() {
		if n.Type == html.ElementNode {
			visit(n)
		}
	}
}

func textOf(n *html.Node) string {
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode {
			b.WriteString(d.Data)
		}
	}
	return b.String()
}
