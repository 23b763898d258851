package browsertest

import (
	"os"
	"os/exec"
	"strings"
	"testing"
)

// ValidHTML runs the Nu HTML checker over the pages of a folder. VOLTWRIGHT_VNU names its jar (npm package vnu-jar); the
// test is skipped without it or without Java.
func ValidHTML(t testing.TB, dir string) {
	t.Helper()
	jar := os.Getenv("VOLTWRIGHT_VNU")
	if jar == "" {
		t.Skip("VOLTWRIGHT_VNU does not name the jar of the Nu HTML checker")
	}
	java, err := exec.LookPath("java")
	if err != nil {
		t.Skip("needs java for the Nu HTML checker")
	}
	out, err := exec.Command(java, "-jar", jar, "--skip-non-html", dir).CombinedOutput()
	if err == nil {
		return
	}
	lines := strings.Split(strings.TrimSpace(string(out)), "\n")
	for _, line := range lines[:min(len(lines), 20)] {
		t.Error(strings.ReplaceAll(line, dir, ""))
	}
	t.Errorf("%d complaints: %v", len(lines), err)
}
