package app

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A reply says one WARNING and the way to the others, and every DANGER.
func TestReplySaysTheWarningThatBearsOnIt(t *testing.T) {
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("../../content")); err != nil {
		t.Fatal(err)
	}
	const question = "how-far-does-it-go"
	replied := func() (warnings, more, dangers int) {
		var out, complaints bytes.Buffer
		if status := Main([]string{"reply", question, "--journal", dir}, strings.NewReader(""), &out, &complaints); status != 0 {
			t.Fatalf("status %d: %s", status, complaints.String())
		}
		for line := range strings.Lines(out.String()) {
			switch {
			case strings.HasPrefix(line, "WARNING: "):
				warnings++
			case strings.HasPrefix(line, "DANGER: "):
				dangers++
			case strings.Contains(line, "more WARNING"):
				more++
				if !strings.Contains(line, "/shunter/2-lifepo4/") {
					t.Errorf("the others are not linked: %s", line)
				}
			}
		}
		return
	}
	if warnings, more, _ := replied(); warnings != 1 || more != 0 {
		t.Errorf("with one WARNING: %d said, %d lines of others", warnings, more)
	}
	file := filepath.Join(dir, "shunter", "2-lifepo4", "version.md")
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	wet := strings.Replace(string(text), "residual-current-device: yes", "residual-current-device: yes, as-found: [wet, crash-damaged]", 1)
	wet = strings.Replace(wet, "\ndrive: {", "\ndrive: {as-found: [loose], ", 1)
	if err := os.WriteFile(file, []byte(wet), 0o600); err != nil {
		t.Fatal(err)
	}
	if warnings, more, _ := replied(); warnings != 1 || more != 1 {
		t.Errorf("with three WARNINGs: %d said, %d lines of others", warnings, more)
	}
}
