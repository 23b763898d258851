package recorded

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// listener is a test that only notes what is said against it.
type listener struct {
	testing.TB
	said []string
}

func (l *listener) Helper() {}

func (l *listener) Errorf(format string, args ...any) {
	l.said = append(l.said, fmt.Sprintf(format, args...))
}

// A text that is another one in any line, or has more or fewer, is told with its line.
func TestTextThatIsAnother(t *testing.T) {
	t.Setenv(Update, "")
	file := filepath.Join(t.TempDir(), "kept.txt")
	if err := os.WriteFile(file, []byte("a\nb\nc\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	for text, want := range map[string]string{"a\nb\nc\n": "", "a\nx\nc\n": "kept.txt:2: a\nis   x\nwas  b", "a\nb\n": "3 lines, was 4", "a\nb\nc\nd\n": "5 lines, was 4", "a\nb\nc": "3 lines, was 4", "": "kept.txt:1"} {
		l := &listener{TB: t}
		Text(l, file, text)
		if got := strings.Join(l.said, "; "); (got == "") != (want == "") || !strings.Contains(got, want) {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
	l := &listener{TB: t}
	Text(l, file, strings.Repeat("z\n", 400))
	if len(l.said) != most+2 {
		t.Errorf("%d differences are told", len(l.said))
	}
}

// Each line is asked, but for blank ones and remarks, and what is said beside it is compared or written.
func TestWhatIsSaidBeside(t *testing.T) {
	file := filepath.Join(t.TempDir(), "kept.txt")
	text := "# remark\n\none\n> ONE\ntwo\n> TWO\n> twice\n"
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	answer := func(line string) string {
		if line == "two" {
			return "TWO\ntwice\n"
		}
		return strings.ToUpper(line)
	}
	t.Setenv(Update, "")
	l := &listener{TB: t}
	if n := Beside(l, file, answer); n != 2 || l.said != nil {
		t.Errorf("%d lines asked: %q", n, l.said)
	}
	Beside(l, file, strings.ToLower)
	if len(l.said) == 0 {
		t.Error("other words are not told")
	}
	t.Setenv(Update, "1")
	Beside(t, file, strings.ToLower)
	if got := read(t, file); got != "# remark\n\none\n> one\ntwo\n> two\n" {
		t.Errorf("written: %q", got)
	}
}
