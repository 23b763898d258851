package store

import (
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

// What tells a program from others is what the tools of Go read in it; two that differ in a word have two, and one that has none of
// that form is summed up.
func TestBuildID(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("executables here have another form")
	}
	dir := t.TempDir()
	made := func(name, says string, more ...string) string {
		source := filepath.Join(dir, name+".go")
		if err := os.WriteFile(source, []byte("package main\n\nfunc main() { println(`"+says+"`) }\n"), 0o644); err != nil {
			t.Fatal(err)
		}
		out := filepath.Join(dir, name)
		if said, err := exec.Command("go", append(append([]string{"build", "-o", out}, more...), source)...).CombinedOutput(); err != nil {
			t.Fatalf("%v: %s", err, said)
		}
		return out
	}
	one, other := made("one", "a"), made("other", "b")
	read := func(name string) string {
		said, err := exec.Command("go", "tool", "buildid", name).Output()
		if err != nil {
			t.Fatal(err)
		}
		return strings.TrimSpace(string(said))
	}
	for _, name := range []string{one, other} {
		if got := buildID(name); got == "" || got != read(name) {
			t.Errorf("%s: %q, want %q", filepath.Base(name), got, read(name))
		}
	}
	if buildID(one) == buildID(other) {
		t.Error("two programs have one")
	}
	for _, name := range []string{made("blank", "a", "-ldflags=-buildid="), made("own", "a", "-ldflags=-buildid="+strings.Repeat("my-own-", 20)), filepath.Join(dir, "one.go"), dir} {
		if got := buildID(name); got != "" {
			t.Errorf("%s: %q", filepath.Base(name), got)
		}
	}
}
