package site

import (
	"path/filepath"
	"testing"

	"voltwright/internal/browsertest"
	"voltwright/internal/site/frame"
)

// The Nu HTML checker, run over every page of both journals.
func TestPagesAreValidHTML(t *testing.T) {
	journals(t, func(t *testing.T, p *frame.Pages, docs map[string]*document) {
		dir := filepath.Join(t.TempDir(), "site")
		if _, err := frame.Write(dir, p, nil, nil); err != nil {
			t.Fatal(err)
		}
		browsertest.ValidHTML(t, dir)
	})
}
