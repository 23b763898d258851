package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// What the pages of the repository link to is in it.
func TestLinksOfTheReadme(t *testing.T) {
	link := regexp.MustCompile(`\]\(([^)\s]+)\)`)
	code := regexp.MustCompile("(?s)```.*?```|`[^`\n]*`")
	seen := 0
	root := filepath.Join("..", "..")
	pages, err := filepath.Glob(filepath.Join(root, "internal", "*", "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range append(pages, filepath.Join(root, "README.md"), filepath.Join(root, "DEVELOPERS.md")) {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range link.FindAllStringSubmatch(code.ReplaceAllString(string(text), ""), -1) {
			if strings.Contains(m[1], "://") {
				continue
			}
			seen++
			to, _, _ := strings.Cut(m[1], "#")
			if _, err := os.Stat(filepath.Join(filepath.Dir(name), filepath.FromSlash(to))); err != nil {
				t.Errorf("%s links to %s, which is not there", name, m[1])
			}
		}
	}
	if seen < 3 {
		t.Errorf("only %d links were looked at", seen)
	}
}
