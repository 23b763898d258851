package runlog

import (
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"voltwright/internal/finding"
)

// checkAccounts holds the books of one log: every line, every value and every second is used or named.
func checkAccounts(t *testing.T, name, text string, r *Result) {
	t.Helper()
	a := &r.Accounts
	if a.Lines != a.Head+a.Aside+a.Used+a.Sum() {
		t.Errorf("%s: %d lines, but %d above, %d aside, %d used and %d left out", name, a.Lines, a.Head, a.Aside, a.Used, a.Sum())
	}
	if a.Used != r.Rows {
		t.Errorf("%s: %d rows are used, %d are counted", name, a.Used, r.Rows)
	}
	// Counted by hand: the lines of the text, where the log was read at all.
	if lines := strings.Count(strings.TrimSuffix(text, "\n"), "\n") + 1; a.Used > 0 && strings.Contains(text, "\n") && a.Lines != lines {
		t.Errorf("%s: %d lines of %d", name, a.Lines, lines)
	}
	for _, v := range r.Values {
		if v.Rows != v.Held+v.Empty+v.LeftOut || v.Empty < 0 {
			t.Errorf("%s: of %d values of the %s %d are held, %d empty, %d left out", name, v.Rows, v.Channel, v.Held, v.Empty, v.LeftOut)
		}
	}
	k := &r.Time
	if k.Elapsed > 0 && !(math.Abs(float64(k.Elapsed-k.Counted-k.Gaps-k.Without)) <= 1e-6*float64(k.Elapsed) && k.Without > -1e-3 && k.Counted >= 0 && k.Gaps >= 0) {
		t.Errorf("%s: %v elapsed, %v counted, %v in gaps, %v without", name, k.Elapsed, k.Counted, k.Gaps, k.Without)
	}
}

func accountText(t *testing.T, name, text string) {
	t.Helper()
	r, _, err := Measure(finding.NewStream(name), strings.NewReader(text), NewOptions())
	if err != nil || r == nil {
		return
	}
	checkAccounts(t, name, text, r)
	checkParts(t, name, r)
	checkParts(t, name, r)
}

// Every log of the repository, and every input that the fuzzers have kept.
func TestEveryRowIsAccountedFor(t *testing.T) {
	logs, corpus := 0, 0
	for _, root := range []string{openLogs, shareLogs, "testdata/dialects", "../../content", "../../testdata/journal-measured"} {
		err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() {
				return err
			}
			switch filepath.Ext(path) {
			case ".csv", ".tsv", ".txt", ".mpt":
			default:
				return nil
			}
			if info, err := d.Info(); err != nil || info.Size() > 1<<20 && testing.Short() {
				return err
			}
			text, err := os.ReadFile(path)
			if err != nil {
				return err
			}
			logs++
			accountText(t, path, strings.ReplaceAll(string(text), "\r\n", "\n"))
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	files, _ := filepath.Glob("testdata/fuzz/*/*")
	for _, path := range files {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		for _, line := range strings.Split(string(text), "\n") {
			line = strings.TrimSuffix(strings.TrimPrefix(strings.TrimPrefix(line, "[]byte("), "string("), ")")
			if input, err := strconv.Unquote(line); err == nil {
				corpus++
				accountText(t, path, input)
			}
		}
	}
	for _, s := range thousand(t) {
		accountText(t, s.name, s.text())
	}
	t.Logf("%d logs, %d inputs of fuzzers", logs, corpus)
	if logs < 60 {
		t.Errorf("only %d logs were found", logs)
	}
}

// FuzzAccounts feeds texts: whatever they are, the books close.
func FuzzAccounts(f *testing.F) {
	for _, text := range []string{
		"t,V,I\n0,25,1\n1,25,\n2,nan,1\n,25,1\n3,x,1\n4,25,1,7,8\n5,25\n\n# remark\nt,V,I\n2,25,1\n9,25,1e9\n10,-7,1\n11,25,1\n",
		"time (s);voltage (V);current (A)\n0;25,1;1\n1;25,0;0\n1000;25;0\n1001;25;5\n900;25;5\n",
		"t,V,I\n0,25,\"1\n1,25,1\n", "a\n", "", "0 1 2\n1 2 3\n2 3 4\n",
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if strings.ContainsAny(text, "\r\x00") {
			return
		}
		accountText(t, "log", text)
	})
}
