package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// What README.md and DEVELOPERS.md link to is in the repository.
func TestLinksOfTheReadme(t *testing.T) {
	link := regexp.MustCompile(`\]\(([^)\s]+)\)`)
	code := regexp.MustCompile("(?s)```.*?```|`[^`\n]*`")
	seen := 0
	for _, name := range []string{"README.md", "DEVELOPERS.md"} {
		text, err := os.ReadFile(filepath.Join("..", "..", name))
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range link.FindAllStringSubmatch(code.ReplaceAllString(string(text), ""), -1) {
			if strings.Contains(m[1], "://") {
				continue
			}
			seen++
			if _, err := os.Stat(filepath.Join("..", "..", filepath.FromSlash(m[1]))); err != nil {
				t.Errorf("%s links to %s, which is not there", name, m[1])
			}
		}
	}
	if seen < 3 {
		t.Errorf("only %d links were looked at", seen)
	}
}
