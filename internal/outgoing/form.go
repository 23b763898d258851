package outgoing

import (
	"bytes"
	"path"
	"slices"
	"strings"
)

// Form is what a file is, told by its bytes first and by its name where they do not settle it.
type Form string

// The forms of files. Those up to Text can be cleaned.
const (
	Picture Form = "picture" // JPEG, PNG, GIF, WebP: decoded, and its pixels encoded anew
	Table   Form = "table"   // rows of delimited text
	Text    Form = "text"    // plain text
	Active  Form = "active"  // what a browser would run in the site's name: HTML, SVG, scripts
	Sealed  Form = "sealed"  // anything else: what it holds besides cannot be told
)

// HeadSize is how many bytes of a file FormOf wants to see, if there are so many.
const HeadSize = 8 << 10

// activeEndings are those of what a browser runs, or reads as a page of the site that it came from, and of what a machine runs
// at a double click.
var activeEndings = []string{
	".htm", ".html", ".xhtml", ".xht", ".shtml", ".mht", ".mhtml", ".hta", ".svg", ".svgz", ".xml", ".xsl", ".xslt", ".rdf", ".atom", ".rss", ".mathml",
	".js", ".mjs", ".cjs", ".jsx", ".ts", ".wasm", ".swf", ".css", ".webmanifest", ".appcache", ".htc", ".vtt",
	".php", ".asp", ".aspx", ".jsp", ".cgi", ".pl", ".exe", ".com", ".scr", ".msi", ".bat", ".cmd", ".ps1", ".vbs", ".jar", ".lnk", ".url", ".desktop",
}

// tableEndings and textEndings are those of what is plain text to a browser.
var (
	tableEndings = []string{".csv", ".tsv", ".tab", ".log", ".dat"}
	textEndings  = []string{".txt", ".text", ".md", ".markdown", ".json", ".yaml", ".yml", ".toml", ".ini", ".ino", ".c", ".h", ".cpp", ".hpp", ".go", ".py", ".bib", ".license", ".scad", ".net", ".cir"}
)

// pictures are the first bytes of the pictures that can be cleaned.
var pictures = []string{"\xff\xd8\xff", "\x89PNG\r\n\x1a\n", "GIF87a", "GIF89a"}

// markup is how text begins that a browser takes for a page or a drawing whatever it is called.
var markup = []string{"<!doctype", "<html", "<svg", "<?xml", "<script", "<head", "<body", "<iframe", "<!--", "<object", "<embed", "<math", "<rss", "<feed"}

// FormOf tells the form of a file from its name and its first bytes, of which head holds HeadSize or all there are.
func FormOf(name string, head []byte) Form {
	for _, p := range pictures {
		if bytes.HasPrefix(head, []byte(p)) {
			return Picture
		}
	}
	if len(head) >= 12 && string(head[:4]) == "RIFF" && string(head[8:12]) == "WEBP" {
		return Picture
	}
	ending := strings.ToLower(path.Ext(name))
	if slices.Contains(activeEndings, ending) {
		return Active
	}
	isTable, isText := slices.Contains(tableEndings, ending), slices.Contains(textEndings, ending)
	if !isTable && !isText || !plain(head) {
		return Sealed
	}
	for _, sign := range []string{"%PDF-", "%!PS", "{\\rtf"} { // forms that begin as text
		if bytes.HasPrefix(head, []byte(sign)) {
			return Sealed
		}
	}
	begin := strings.ToLower(string(bytes.TrimLeft(bytes.TrimPrefix(head, []byte("\xef\xbb\xbf")), " \t\r\n\f")))
	for _, m := range markup {
		if strings.HasPrefix(begin, m) {
			return Active
		}
	}
	if isTable {
		return Table
	}
	return Text
}

// plain tells whether bytes are text: UTF-16 with its mark, or without a byte below a space but for ends of lines, tabs, form
// feeds and the end of text of old systems.
func plain(head []byte) bool {
	if bytes.HasPrefix(head, []byte("\xff\xfe")) || bytes.HasPrefix(head, []byte("\xfe\xff")) {
		return true
	}
	return !slices.ContainsFunc(head, func(b byte) bool {
		return b < ' ' && b != '\n' && b != '\r' && b != '\t' && b != '\f' && b != 0x1a
	})
}
