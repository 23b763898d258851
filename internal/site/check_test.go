package site

import (
	"path/filepath"
	"testing"

	"voltwright/internal/browsertest"
)

// The Nu HTML checker, run over every page of both journals.
func TestPagesAreValidHTML(t *testing.T) {
	journals(t, func(t *testing.T, p *Pages, docs map[string]*document) {
		dir := filepath.Join(t.TempDir(), "site")
		if _, err := Write(dir, p, nil); err != nil {
			t.Fatal(err)
		}
		browsertest.ValidHTML(t, dir)
	})
}
