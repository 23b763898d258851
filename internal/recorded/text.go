package recorded

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Updating says whether records are to be written anew.
func Updating() bool { return os.Getenv(Update) != "" }

// Text compares a text with a file, line by line, or writes it where Update is set.
func Text(t testing.TB, file, text string) {
	t.Helper()
	if Updating() {
		write(t, file, text)
		return
	}
	was, is := strings.Split(read(t, file), "\n"), strings.Split(text, "\n")
	told := 0
	for i := range max(len(was), len(is)) {
		a, b := "", ""
		if i < len(was) {
			a = was[i]
		}
		if i < len(is) {
			b = is[i]
		}
		if a == b {
			continue
		}
		if told++; told > most {
			t.Errorf("%s: and more", file)
			break
		}
		t.Errorf("%s:%d: %s\nis   %s\nwas  %s", file, i+1, is[max(0, min(i, len(is))-1)], b, a)
	}
	if len(was) != len(is) {
		t.Errorf("%s: %d lines, was %d", file, len(is), len(was))
	}
}

// Beside compares what is said of each line of a file with what stands below it there, on lines that begin with >, or writes
// that where Update is set. Blank lines and those that begin with # are asked nothing. It gives the number of lines that were asked.
func Beside(t testing.TB, file string, answer func(line string) string) int {
	t.Helper()
	var out strings.Builder
	asked := 0
	for line := range strings.Lines(read(t, file)) {
		if strings.HasPrefix(line, ">") {
			continue
		}
		out.WriteString(line)
		if line = strings.TrimSuffix(line, "\n"); line == "" || line[0] == '#' {
			continue
		}
		asked++
		for said := range strings.SplitSeq(strings.TrimSuffix(answer(line), "\n"), "\n") {
			out.WriteString("> " + said + "\n")
		}
	}
	Text(t, file, out.String())
	return asked
}

// Rows are those of a published table that a test reads, its head first.
func Rows(t testing.TB, file string) [][]string {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(read(t, file))).ReadAll()
	if err != nil {
		t.Fatalf("%s: %v", file, err)
	}
	return rows
}

func read(t testing.TB, file string) string {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func write(t testing.TB, file, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}
