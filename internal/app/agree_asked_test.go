package app

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"voltwright/internal/begin"
	"voltwright/internal/journal"
	"voltwright/internal/predict"
	"voltwright/internal/quantity"
	"voltwright/internal/record"
	"voltwright/internal/value"
)

// draw is what is asked: a payload, a setting of the controller, how warm it is, and what the packs hold.
type draw struct {
	payload, setting, temperature, capacity float64
}

func (d draw) String() string {
	return fmt.Sprintf("%g kg, %g %%, %g °C, %g Ah", d.payload, d.setting, d.temperature, d.capacity)
}

// stating is a journal of one version with a bench run, a field run with a payload of 60 kg, and a question that asks how
// long the version runs with the payload that it states. What the version states is drawn; the runs stay as they were.
func stating(t *testing.T, d draw) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "journal")
	if _, err := begin.Journal(dir); err != nil {
		t.Fatal(err)
	}
	version := filepath.Join(dir, "trolley", "1-first-pack", "version.md")
	text, err := os.ReadFile(version)
	if err != nil {
		t.Fatal(err)
	}
	for was, is := range map[string]string{
		"payload: 60 kg": fmt.Sprintf("payload: %g kg", d.payload), "setting: 60 %": fmt.Sprintf("setting: %g %%", d.setting), "capacity: 10 Ah": fmt.Sprintf("capacity: %g Ah", d.capacity),
	} {
		if bytes.Count(text, []byte(was)) != 1 {
			t.Fatalf("the starter no longer states %s once", was)
		}
		text = bytes.Replace(text, []byte(was), []byte(is), 1)
	}
	var log strings.Builder
	log.WriteString("Time (s),Voltage (V),Current (A)\n")
	for s := 0; s <= 1500; s += 5 {
		current := 6 + 2*math.Sin(float64(s)/70)
		if s%300 > 240 { // stands
			current = 0
		}
		fmt.Fprintf(&log, "%d,%.2f,%.2f\n", s, 13.25-0.03*current-float64(s)/9000, current)
	}
	for name, content := range map[string]string{
		"trolley/1-first-pack/version.md":  string(text),
		"trolley/1-first-pack/field-1.csv": log.String(),
		"trolley/1-first-pack/field-1.md": "---\nkind: run\ntype: field\nname: Round the yard\ndate: 2026-01-19\n" + fmt.Sprintf("conditions: {temperature: %g °C, payload: 60 kg, surface: concrete, setting: 60 %%}\n", d.temperature) +
			"instruments:\n  - {name: logger, measures: voltage, accuracy: ±0.2 %}\n  - {name: logger, measures: current, accuracy: ±0.5 %}\nlog: {file: field-1.csv, discharge: positive}\npause-after: 20 s\nidle: 0.2 A\nended: enough\n---\n\nRound and round.\n",
		"questions/how-long.md": "---\nkind: question\ntitle: How long does it run?\ndate: 2026-01-20\nbears: [trolley/1-first-pack]\nprediction: trolley/1-first-pack/run-time/" + asksFor(d) + "/own\n---\n\nLong enough.\n",
	} {
		name = filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// Payload, setting, temperature and capacity, drawn: what the pages, the JSON, a bound value and a reply say of a journal that
// states them, and what the command says that is asked for them, of that journal or of one that states others, is one answer
// to the last digit, or one reason. VOLTWRIGHT_ASKED is how many versions are drawn (6).
func TestOneAnswerForAnyPayloadAndSetting(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 17))
	told, versions := 0, 6
	if n, err := strconv.Atoi(os.Getenv("VOLTWRIGHT_ASKED")); err == nil {
		versions = n
	}
	for i := range versions {
		d := draw{payload: float64(random.IntN(300)), setting: float64(15 + random.IntN(86)), temperature: float64(random.IntN(50) - 15), capacity: float64(7 + random.IntN(30))}
		switch {
		case i%10 == 4:
			d.payload = 0 // no row of its own: carrying nothing has one
		case i%3 == 0:
			d.capacity = 10 // the logs are of such a pack, and teach
		}
		told += asked(t, d)
	}
	t.Logf("%d numbers and reasons, each told in up to seven places", told)
}

// asksFor is the load of the question: the run's with the payload that the version states.
func asksFor(d draw) string {
	switch d.payload {
	case 0:
		return "field-1-no-payload"
	case 60:
		return "field-1"
	}
	return "field-1-stated-payload"
}

func asked(t *testing.T, d draw) int {
	t.Helper()
	dir := stating(t, d)
	in, err := read(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer in.close()
	judge(in)
	v := in.journal.Vehicles[0].Versions[0]
	a := in.results.Predictions[v.Path()]
	if a == nil || len(a.Table.Loads) == 0 {
		t.Fatalf("%s: nothing is computed: %v", d, in.findings.Sorted())
	}
	told := agree(t, in, v, a, "run-time/"+asksFor(d)+"/own")

	// The command, asked of this journal.
	own := predictedJSON(t, dir)
	for i, row := range a.Table.Cells {
		told += sameTimes(t, d, "predict", own.RunTimes[i].Cutout, row[0].End())
	}
	// Asked of a journal that states another payload and another setting: all that is computed is the same.
	before := d
	before.payload, before.setting = 60, 60
	other := stating(t, before)
	changed := predictedJSON(t, other, "--set", fmt.Sprintf("masses.payload=%g kg", d.payload), "--set", fmt.Sprintf("controller.setting=%g %%", d.setting))
	checked := own
	checked.Drive = new(*own.Drive)
	checked.Drive.Runs = changed.Drive.Runs // the runs were made as the other journal states it, so they check nothing there
	told += sameRecord(t, d, checked, changed)
	// Asked for the payload alone: the run's load as it is scaled.
	at := predictedJSON(t, dir, "--payload", fmt.Sprintf("%g kg", d.payload))
	row := asksFor(d)
	i := slices.IndexFunc(a.Table.Loads, func(l predict.Load) bool { return l.Name == row })
	if i < 0 || len(at.RunTimes) != 1 {
		t.Fatalf("%s: no row %s, and %d with --payload", d, row, len(at.RunTimes))
	}
	told += sameTimes(t, d, "predict --payload", at.RunTimes[0].Cutout, a.Table.Cells[i][0].End())
	return told + sameDrive(t, d, in, v, own, at)
}

func predictedJSON(t *testing.T, dir string, more ...string) record.AnswerDocument {
	t.Helper()
	var out, errs bytes.Buffer
	args := append([]string{"predict", "--journal", dir, "--format", "json"}, more...)
	status := Main(args, nil, &out, &errs)
	var answer record.AnswerDocument
	if err := json.Unmarshal(out.Bytes(), &answer); err != nil || status != 0 || len(answer.RunTimes) == 0 {
		t.Fatalf("%q: status %d, %v, %d times: %s", args, status, err, len(answer.RunTimes), errs.String())
	}
	return answer
}

// sameTimes holds the times of a row as the JSON has them against those of the table, and counts them.
func sameTimes(t *testing.T, d draw, who string, got *record.EndPoint, want predict.EndPoint) int {
	t.Helper()
	if got == nil {
		t.Errorf("%s: %s has no end", d, who)
		return 0
	}
	if got.Error != want.Err {
		t.Errorf("%s: %s says %q, and the table %q", d, who, got.Error, want.Err)
	}
	if want.Err != "" {
		return 1
	}
	for i, n := range []record.Number{got.Running, got.UnderLoad, got.Clock} {
		if got, want := predict.TimeWords(readBack(n)), predict.TimeWords(want.Measures()[i].Time); got != want {
			t.Errorf("%s: %s says %s, and the table %s", d, who, got, want)
		}
	}
	return 3
}

// sameRecord holds everything that is computed of two journals against each other.
func sameRecord(t *testing.T, d draw, own, changed record.AnswerDocument) int {
	t.Helper()
	told := 0
	for _, part := range []struct {
		name      string
		got, want any
	}{{"running times", changed.RunTimes, own.RunTimes}, {"charges", changed.Charges, own.Charges}, {"drive", changed.Drive, own.Drive}, {"wiring", changed.Wiring, own.Wiring}} {
		got, err := json.Marshal(part.got)
		want, err2 := json.Marshal(part.want)
		if err != nil || err2 != nil {
			t.Fatal(err, err2)
		}
		told += bytes.Count(want, []byte(`"value":`))
		if !bytes.Equal(got, want) {
			t.Errorf("%s: %s by --set\n%s\nand by a journal that states it\n%s", d, part.name, got, want)
		}
	}
	return told
}

// sameDrive holds how it drives, as the command has it, against what a sentence gets and what the version's page says. With
// --payload it is the same again, since that is the payload that the version states.
func sameDrive(t *testing.T, d draw, in *inspected, v *journal.Version, own, at record.AnswerDocument) int {
	t.Helper()
	if !reflect.DeepEqual(own.Drive, at.Drive) {
		t.Errorf("%s: it drives as %+v, and with --payload as %+v", d, own.Drive, at.Drive)
	}
	values := map[string]value.Value{}
	for _, x := range in.values.At(v.Place()) {
		values[x.Name] = x
	}
	told := 0
	for _, f := range own.Drive.Figures {
		told++
		x, ok := values[f.Name]
		switch {
		case !ok:
			t.Errorf("%s: %s has no value", d, f.Name)
		case x.Why() != f.Missing:
			t.Errorf("%s: %s is missing since %q, and as a value since %q", d, f.Name, f.Missing, x.Why())
		case f.Missing == "":
			got := x.Quantity.Or(quantity.Quantity{})
			got.Value = *f.Value
			if f.U != nil {
				got.U = *f.U
			}
			if got.Rounded() != x.Words() {
				t.Errorf("%s: %s is %s, and a sentence gets %s", d, f.Name, got.Rounded(), x.Words())
			}
		}
	}
	return told
}

// A charger that does harm: the page and the command refuse its time for one reason.
func TestNoTimeForAChargerThatDoesHarm(t *testing.T) {
	dir := stating(t, draw{payload: 60, setting: 60, temperature: 18, capacity: 10})
	version := filepath.Join(dir, "trolley", "1-first-pack", "version.md")
	text, err := os.ReadFile(version)
	if err != nil {
		t.Fatal(err)
	}
	text = bytes.Replace(text, []byte("charger: {chemistry: lfp, voltage: 14.4 V"), []byte("charger: {chemistry: lead-acid-agm, voltage: 14.7 V"), 1)
	if err := os.WriteFile(version, text, 0o644); err != nil {
		t.Fatal(err)
	}
	in, err := read(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer in.close()
	judge(in)
	page := record.OfPrediction(in.results.Predictions["trolley/1-first-pack"]).Charges
	asked := predictedJSON(t, dir).Charges
	if len(page) == 0 || page[0].Error == "" || !reflect.DeepEqual(page, asked) {
		t.Errorf("the page has %+v, and predict says %+v", page, asked)
	}
}
