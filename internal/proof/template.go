package proof

import (
	"bytes"
	"html/template"
	"path"

	"voltwright/themes"
)

// templates are embedded and parsed once: one that fails is an error of the program.
var templates = template.Must(template.ParseFS(themes.FS, themes.Trial+"/*.html"))

func render(name string, v view) []byte {
	var b bytes.Buffer
	if err := templates.ExecuteTemplate(&b, name, v); err != nil {
		panic(err) // the view is ours alone
	}
	return b.Bytes()
}

// head is what a page's head gets.
func (d *Server) head() []byte {
	return []byte(`<link rel="stylesheet" href="` + own + `trial.css">` + "\n" + `<script src="` + own + `trial.js" defer></script>` + "\n")
}

// ownFile is a file of the server's own, or of the sheets' lettering, which the list needs while there are no sheets.
func ownFile(name string) ([]byte, bool) {
	for _, folder := range []string{themes.Trial, "workshop"} {
		if data, err := themes.FS.ReadFile(path.Join(folder, name)); err == nil && path.Ext(name) != ".html" {
			return data, true
		}
	}
	return nil, false
}
