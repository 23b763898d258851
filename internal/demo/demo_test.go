package demo

import (
	"bytes"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

const journal = "../../content"

// TestLogsAreTheFilesOfTheJournal makes every log again and compares it with the file beside the notes, and looks for
// logs in the journal that nothing here makes.
func TestLogsAreTheFilesOfTheJournal(t *testing.T) {
	made := Logs()
	total := 0
	for path, want := range made {
		got, err := os.ReadFile(filepath.Join(journal, filepath.FromSlash(path)))
		if err != nil {
			t.Errorf("%v; write it with go run ./internal/demo/generate", err)
			continue
		}
		total += len(got)
		if !bytes.Equal(got, want) {
			at := 0
			for at < len(got) && at < len(want) && got[at] == want[at] {
				at++
			}
			t.Errorf("%s differs from what the generator makes, first in line %d", path, bytes.Count(want[:at], []byte("\n"))+1)
		}
	}
	if total == 0 || total > 2_500_000 {
		t.Errorf("the logs take %d bytes; from 1 to 2 500 000 are wanted", total)
	}
	err := filepath.WalkDir(journal, func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		if !slices.Contains([]string{".csv", ".tsv", ".txt"}, filepath.Ext(path)) || filepath.Base(path) == "parts.csv" { // a parts list is no log
			return nil
		}
		inside := strings.TrimPrefix(filepath.ToSlash(path), journal+"/")
		if _, ok := made[inside]; !ok {
			t.Errorf("%s stands in the journal, and no log of this package makes it", inside)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

// TestBankSharesAsTwoSourcesOnOneBus compares with the node equation solved by hand: 26 V behind 0.1 Ω and 25 V behind
// 0.2 Ω carry 6 A at V = (26/0.1 + 25/0.2 - 6)/(1/0.1 + 1/0.2) = 379/15 V, the first (26-V)/0.1 A of it.
func TestBankSharesAsTwoSourcesOnOneBus(t *testing.T) {
	source := func(volts, ohms float64) *pack {
		// At nine tenths the growth towards empty is 1 part in a million of the resistance.
		return &pack{curve: curve{{0, volts}, {1, volts}}, series: 1, capacity: 1e6, ohms: ohms, slowTime: 1, heat: 1, soc: 0.9}
	}
	b := bank{source(26, 0.1), source(25, 0.2)}
	if got, want := b.at(6), 379.0/15; math.Abs(got-want) > 1e-4 {
		t.Errorf("terminal voltage %.6f V, want %.6f V", got, want)
	}
	if got, want := b.into(26.5), -0.5/0.1-1.5/0.2; math.Abs(got-want) > 1e-4 {
		t.Errorf("current into 26.5 V is %.6f A, want %.6f A", got, want)
	}
	b.carry(6, 3600, 20)
	drawn := (0.9 - b[0].soc + 0.9 - b[1].soc) * 1e6
	if math.Abs(drawn-6) > 1e-6 {
		t.Errorf("an hour at 6 A took %.8f Ah out of the bank, want 6 Ah", drawn)
	}
}

// TestSlowBranchFollowsItsTimeConstant compares with the step response of a resistor and capacitor in parallel,
// R·I·(1-e^(-t/τ)).
func TestSlowBranchFollowsItsTimeConstant(t *testing.T) {
	p := &pack{curve: curve{{0, 3}, {1, 3}}, series: 8, capacity: 1e6, ohms: 1e-3, slowOhms: 0.02, slowTime: 50, heat: 1e3, soc: 1}
	for range 500 {
		p.carry(12, 0.1, 20)
	}
	if want := 0.02 * 12 * (1 - math.Exp(-1)); math.Abs(p.slow-want) > 1e-6 {
		t.Errorf("after one time constant the branch holds %.7f V, want %.7f V", p.slow, want)
	}
}

func TestCutoutWaitsForItsDelay(t *testing.T) {
	c := &cutout{opens: 24, delay: 2}
	for _, step := range []struct {
		volts, seconds float64
		open           bool
	}{{23.9, 1.5, false}, {24.1, 0.5, false}, {23.9, 1.5, false}, {23.8, 0.5, true}, {25, 5, true}} {
		c.watch(step.volts, step.seconds)
		if c.open != step.open {
			t.Errorf("after %v s at %v V the cutout is open: %v, want %v", step.seconds, step.volts, c.open, step.open)
		}
	}
}

// TestFaultsLeaveTheirMark looks at a file of five rows that holds each fault once.
func TestFaultsLeaveTheirMark(t *testing.T) {
	s := newOuting(1, 20, 1, 1, iron(20, 0.01, 0.5))
	s.rest(5, 0)
	d := dress{
		head: []string{"t", "U"}, separator: ";", comma: true, bom: true, crlf: true,
		meters: []meter{{channel: voltage, resolution: 0.1, decimals: 1}},
	}
	d.clock = d.seconds(0)
	got := string(s.write(d,
		fault{kind: lost, from: 0, to: 1},
		fault{kind: wrong, from: 1, to: 2, text: "OL"},
		fault{kind: repeated, from: 2, to: 3},
		fault{kind: stepped, from: 3, seconds: 40},
		fault{kind: blank, from: 4, to: 5},
	))
	want := "\ufefft;U\r\n1;OL\r\n1;26,4\r\n43;26,4\r\n44;\r\n"
	if got != want {
		t.Errorf("got  %q\nwant %q", got, want)
	}
}
