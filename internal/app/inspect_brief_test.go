package app

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"voltwright/internal/begin"
)

// A terminal is shown twenty lines of what is most urgent; --all, and whatever is no terminal, gets everything.
func TestInspectBriefly(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "journal")
	if _, err := begin.Journal(dir); err != nil {
		t.Fatal(err)
	}
	var note strings.Builder
	note.WriteString("---\nkind: note\ntitle: Many slips\n")
	for i := range 40 {
		fmt.Fprintf(&note, "slip-%d: x\n", i)
	}
	note.WriteString("---\n\nText.\n")
	if err := os.MkdirAll(filepath.Join(dir, "notes"), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "notes", "slips.md"), []byte(note.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	var whole, said bytes.Buffer
	if status := Main([]string{"inspect", "--no-store", dir}, nil, &whole, &said); status != int(Findings) {
		t.Fatalf("status %d, and %s", status, said.String())
	}
	for _, tt := range []struct {
		args  []string
		brief bool
	}{
		{[]string{"inspect", "--no-store", dir}, true},
		{[]string{"inspect", "--no-store", "--all", dir}, false},
		{[]string{"inspect", "--no-store", "--format", "json", dir}, false},
	} {
		tty := newTerminal(t, 200)
		Main(tt.args, nil, tty.File, &said)
		sent := strings.ReplaceAll(tty.all(), "\r\n", "\n")
		if !tt.brief {
			if !strings.Contains(sent, "slip-39") {
				t.Errorf("%q leaves out a slip", tt.args)
			}
			continue
		}
		lines := strings.Split(strings.TrimSuffix(sent, "\n"), "\n")
		if len(lines) > briefLines+2 || !strings.Contains(sent, "more: --all prints them.\n") || !strings.Contains(sent, "`slip-0`") {
			t.Errorf("%d lines:\n%s", len(lines), sent)
		}
		if last := lines[len(lines)-1]; !strings.HasSuffix(whole.String(), last+"\n") {
			t.Errorf("it ends with %q, and elsewhere with\n%s", last, whole.String())
		}
	}
}

// A terminal is told what a publish found that the last one had not; elsewhere all of it is said each time.
func TestPublishSaysWhatIsNew(t *testing.T) {
	dir, t0 := filepath.Join(t.TempDir(), "journal"), t.TempDir()
	if _, err := begin.Journal(dir); err != nil {
		t.Fatal(err)
	}
	t.Setenv("XDG_CACHE_HOME", t0)
	publish := func() (onTerminal string) {
		tty := newTerminal(t, 200)
		var out bytes.Buffer
		if status := Main([]string{"publish", dir, "--to", filepath.Join(t0, "site")}, nil, &out, tty.File); status != int(Clean) {
			t.Fatalf("status %d: %s", status, tty.all())
		}
		return screen(strings.ReplaceAll(tty.all(), "\r\n", "\n"))
	}
	ask := func(name string) {
		if status := Main([]string{"begin", "--question", name, dir}, nil, &bytes.Buffer{}, &bytes.Buffer{}); status != int(Clean) {
			t.Fatalf("status %d", status)
		}
	}
	ask("First")
	if first := publish(); !strings.Contains(first, "questions/first.md") {
		t.Fatalf("an unanswered question is not told: %s", first)
	}
	if again := publish(); strings.Contains(again, "questions/") {
		t.Errorf("nothing has changed, and it is told again: %s", again)
	}
	ask("Second")
	if then := publish(); strings.Contains(then, "first.md") || !strings.Contains(then, "second.md") || !strings.Contains(then, "as at the last publish") {
		t.Errorf("the second question alone is new: %s", then)
	}
}
