package runlog

import (
	"fmt"
	"io/fs"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"voltwright/internal/finding"
)

// TestFillReadsWhatNextReads: rows that are read into blocks are those that are read one by one, to the bit, and so are the accounts and
// what is said: of logs in all dialects, of damaged ones, and of one in many dresses whose rows turn plain and back.
func TestFillReadsWhatNextReads(t *testing.T) {
	random := rand.New(rand.NewPCG(14, 2))
	logs := []string{}
	for _, root := range []string{"testdata/dialects", "testdata/readings", openLogs} {
		err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() {
				return err
			}
			text, err := os.ReadFile(path)
			logs = append(logs, string(text[:min(len(text), 100<<10)]))
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	goods := goodLogs(t)
	for range 40 {
		d, _ := draw(goods, random.IntN(len(damages)), random)
		logs = append(logs, d.sheet.text())
	}
	for n := range 30 {
		logs = append(logs, dressedLog(random, n))
	}
	for n, text := range logs {
		one, many := scannerOf(t, text), scannerOf(t, text)
		b := newBlock()
		more := true
		for at := 0; more; {
			more = many.fill(b, func(s Sample) { b.add(&s) })
			for k := range b.n {
				want, ok := one.Next()
				if got := bitsOf(b.sample(k)); !ok || got != bitsOf(&want) {
					t.Fatalf("log %d, row %d: %v\n%s\n%s", n, at+k, ok, got, bitsOf(&want))
				}
			}
			at += b.n
			if b.n == 0 && more {
				t.Fatalf("log %d: nothing is read and more is said to come", n)
			}
			b.drop(b.n)
		}
		if _, ok := one.Next(); ok {
			t.Errorf("log %d: rows are missing", n)
		}
		if a, b := fmt.Sprintf("%+v", one.Accounts()), fmt.Sprintf("%+v", many.Accounts()); a != b {
			t.Errorf("log %d: %s\n%s", n, b, a)
		}
		if a, b := strings.Join(foundLines(one.Findings()), "\n"), strings.Join(foundLines(many.Findings()), "\n"); a != b {
			t.Errorf("log %d: %s\n%s", n, b, a)
		}
		if one.spread.grain() != many.spread.grain() {
			t.Errorf("log %d: the stamps count %v and %v", n, many.spread.grain(), one.spread.grain())
		}
	}
}

// TestPlainRowsAreReadStraight: of a log of plain rows, all but those of the first block's begin are read into blocks.
func TestPlainRowsAreReadStraight(t *testing.T) {
	s, b := scannerOf(t, string(benchLog()[:200<<10])), newBlock()
	for n := 0; s.fill(b, func(s Sample) { b.add(&s) }); n++ {
		if b.told > 0 && n > 0 || b.told > 20 || b.written[Voltage] != 3 {
			t.Errorf("block %d: %d of %d rows are read one by one, the voltage in %d decimals", n, b.told, b.n, b.written[Voltage])
		}
		b.drop(b.n)
	}
}

func scannerOf(t *testing.T, text string) *Scanner {
	t.Helper()
	s, err := NewScanner(finding.NewStream("log"), strings.NewReader(text), NewOptions())
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// bitsOf is all of a sample, each number to its bit.
func bitsOf(s *Sample) string {
	text := fmt.Sprint(s.Line, s.Offset, math.Float64bits(s.Time), s.Loose, s.Restart)
	for c, x := range s.Values {
		if x == x {
			text += fmt.Sprintf(" %s %x", Channel(c), math.Float64bits(x))
		}
	}
	return text
}

// dressedLog is a log in one dress of many, with faults strewn in.
func dressedLog(random *rand.Rand, n int) string {
	end, sep := "\n", ","
	if n%3 == 1 {
		end = "\r\n"
	}
	if n%5 == 2 {
		sep = ";"
	} else if n%5 == 3 {
		sep = "\t"
	}
	mark := "."
	if sep == ";" && n%2 == 0 {
		mark = ","
	}
	faults := [][]string{{}, {"x", "\"1\"", "", "1e3", " 7 ", "-"}, {"27.123456789012345678", "5.", "+4", "NaN"}}[n%3]
	var b strings.Builder
	b.WriteString(strings.Join([]string{"time (s)", "voltage (V)", "note", "current (A)", "temperature (°C)"}, sep) + end)
	t, step := 0.0, []float64{0.01, 1, 0.5, 70}[n%4]
	for k := range 1500 {
		t += step
		switch random.IntN(150) {
		case 0:
			t -= 3 * step
		case 1:
			t -= step // once more
		case 2:
			t += 100 * step
		}
		cells := []string{fmt.Sprintf("%.2f", t), fmt.Sprintf("%.3f", 26+random.Float64()), "", fmt.Sprintf("%.2f", 10*random.Float64()-3), "21.5"}
		if k%40 > 30 {
			cells[4] = ""
		}
		if len(faults) > 0 && random.IntN(60) == 0 {
			cells[random.IntN(5)] = faults[random.IntN(len(faults))]
		}
		if random.IntN(300) == 0 {
			cells = cells[:random.IntN(5)]
		} else if random.IntN(300) == 0 {
			cells = append(cells, "1", "")
		}
		row := strings.Join(cells, sep)
		if mark == "," {
			row = strings.ReplaceAll(row, ".", ",")
		}
		b.WriteString(row + end)
		if random.IntN(400) == 0 {
			b.WriteString("# a comment" + end + end)
		}
	}
	return strings.TrimSuffix(b.String(), end[n%len(end):])
}

// FuzzPlainNumber: a number that is read straight from a row is the one that is read with all that a field may hold.
func FuzzPlainNumber(f *testing.F) {
	for _, text := range []string{"0", "-0.5,", " 12.25 ;", "1234567890123456789.5\n", "3,5;", ",", "-", "5.", ".5", "1e5", "9007199254740993", "00.000100"} {
		f.Add(text, false)
		f.Add(text, true)
	}
	f.Fuzz(func(t *testing.T, text string, comma bool) {
		decimal, separator := byte('.'), byte(',')
		if comma {
			decimal, separator = ',', ';'
		}
		v, decimals, end := plainNumber([]byte(text), 0, decimal)
		if end < 0 || end < len(text) && text[end] != separator && text[end] != '\n' {
			return // it is left to parseField
		}
		want, suffix, state := parseField([]byte(text[:end]), decimal)
		switch {
		case v != v:
			if state != fieldHole || len(trimBlank([]byte(text[:end]))) > 0 {
				t.Errorf("%q is no value, and %v %q %d", text, want, suffix, state)
			}
		case state != fieldValue || suffix != "" || math.Float64bits(v) != math.Float64bits(want):
			t.Errorf("%q: %v, and %v %q %d", text, v, want, suffix, state)
		case decimals != unknownDecimals:
			var g decimalGrain
			if g.add(v); g.decimals > int(decimals) {
				t.Errorf("%q: in %d decimals, and %d are seen", text, decimals, g.decimals)
			}
		}
	})
}
