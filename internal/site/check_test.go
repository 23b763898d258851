package site

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// The Nu HTML checker, run over every page of both journals. VOLTWRIGHT_VNU names its jar (npm package vnu-jar).
func TestPagesAreValidHTML(t *testing.T) {
	jar := os.Getenv("VOLTWRIGHT_VNU")
	if jar == "" {
		t.Skip("VOLTWRIGHT_VNU does not name the jar of the Nu HTML checker")
	}
	java, err := exec.LookPath("java")
	if err != nil {
		t.Skip("needs java for the Nu HTML checker")
	}
	journals(t, func(t *testing.T, p *Pages, docs map[string]*document) {
		dir := filepath.Join(t.TempDir(), "site")
		if err := Write(dir, p); err != nil {
			t.Fatal(err)
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
	})
}
