package app

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A reply says the one WARNING that bears on its answer and the way to the others, and every DANGER.
func TestReplySaysTheWarningThatBearsOnIt(t *testing.T) {
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("../../content")); err != nil {
		t.Fatal(err)
	}
	question := "how-far-does-it-go"
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
			case strings.Contains(line, "more WARNING") || strings.Contains(line, " on other matters: "):
				more++
				if !strings.Contains(line, "/shunter/2-lifepo4/") {
					t.Errorf("the others are not linked: %s", line)
				}
			}
		}
		return
	}
	if warnings, more, _ := replied(); warnings != 0 || more != 1 {
		t.Errorf("with a WARNING of a fuse, on which the answer does not rest: %d said, %d lines of others", warnings, more)
	}
	file := filepath.Join(dir, "shunter", "2-lifepo4", "version.md")
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	answered := strings.Replace(string(text), "residual-current-device: yes", "residual-current-device: yes, as-found: [wet, crash-damaged]", 1)
	answered = strings.Replace(answered, "\ndrive: {", "\ndrive: {as-found: [loose], ", 1)
	answered = strings.Replace(answered, "voltage: 28.7 V, current: 8 A", "voltage: 31 V, current: 8 A", 1)
	answered = strings.Replace(answered, "\nstate: retired\n", "\nstate: retired\nanswers:\n  - {rule: charge-voltage-high, numbers: \"31 V, at most 29.6 V\", reason: it is not charged any more}\n", 1)
	if err := os.WriteFile(file, []byte(answered), 0o600); err != nil {
		t.Fatal(err)
	}
	if warnings, more, dangers := replied(); warnings != 1 || more != 1 || dangers != 1 {
		t.Errorf("with three WARNINGs and a DANGER that was answered: %d DANGERs, %d WARNINGs said, %d lines of others", dangers, warnings, more)
	}
	question = "when-does-the-cutout-open"
	if err := os.WriteFile(file, text, 0o600); err != nil {
		t.Fatal(err)
	}
	if warnings, more, _ := replied(); warnings != 1 || more != 1 {
		t.Errorf("with a correction that safety hangs on, and a WARNING on another matter: %d said, %d lines of others", warnings, more)
	}
}
